// The field book as this phone sees it: what the laptop told last, and on top of it everything that
// was typed here and has not come back yet. It never shows less than the phone already had.

const isShot = (event) => event.kind.startsWith("shot-");

// What the laptop has of one device: every number up to `last` but the missing ones.
export function arrived(data, event) {
  const line = data?.devices?.[event.device];
  return Boolean(line) && event.seq <= line.last && !line.missing.includes(event.seq);
}

export function rowOf(body, event) {
  return {
    id: event.id, event: event.id, point: body.point, x: body.x ?? "", y: body.y ?? "",
    grid: body.grid ?? "", setup: body.setup, reading: body.reading, kind: body.kind,
    note: body.note ?? "", struck: false, mine: true, seq: event.seq,
  };
}

// events: those of this job on this phone, oldest first; refused: ids that lie in the laptop's tray.
export function fold(data, events, refused = new Set()) {
  const rows = (data?.shots ?? []).map((shot) => ({ ...shot, mine: false }));
  const byId = new Map(rows.map((row) => [row.id, row]));
  const local = new Map(events.map((event) => [event.id, event]));
  for (const event of events) {
    const known = byId.get(event.kind === "shot-kept" ? event.id : event.body.of);
    if (known && event.kind === "shot-kept") known.mine = true;
    if (refused.has(event.id)) {
      if (event.kind === "shot-kept") rows.push({ ...rowOf(event.body, event), refused: true });
      continue;
    }
    if (arrived(data, event)) continue;
    if (event.kind === "shot-kept" && !known) {
      const row = rowOf(event.body, event);
      rows.push(row);
      byId.set(row.id, row);
    } else if (event.kind === "shot-replaced" && known) {
      Object.assign(known, { ...rowOf(event.body, event), id: known.id });
    } else if (event.kind === "shot-struck" && known) {
      known.struck = true;
    } else if (event.kind === "undone") {
      takeBack(local.get(event.body.of), byId, local, data);
    }
  }
  return rows;
}

function takeBack(undone, byId, local, data) {
  if (!undone || !isShot(undone)) return;
  if (undone.kind === "shot-kept") {
    const row = byId.get(undone.id);
    if (row) row.struck = true;
    return;
  }
  const row = byId.get(undone.body.of);
  if (!row) return;
  if (undone.kind === "shot-struck") {
    row.struck = false;
    return;
  }
  // Back to what stood there before: the newest older content of this shot that the phone knows.
  const older = [...local.values()].filter(
    (event) => event.seq < undone.seq && event.device === undone.device
      && (event.id === row.id || (event.kind === "shot-replaced" && event.body.of === row.id)),
  );
  const before = older[older.length - 1];
  const told = data?.shots?.find((shot) => shot.id === row.id);
  if (before) Object.assign(row, { ...rowOf(before.body, before), id: row.id });
  else if (told && told.event !== undone.id) Object.assign(row, told);
}

// What undo would take back: this phone's newest action on shots that was not taken back yet.
export function lastAction(events, refused = new Set()) {
  const gone = new Set(events.filter((e) => e.kind === "undone").map((e) => e.body.of));
  return events.findLast((e) => isShot(e) && !gone.has(e.id) && !refused.has(e.id)) ?? null;
}

// Points that were looked at again and found right are not asked about a second time.
export function answered(events, data, words) {
  const notes = [...(data?.notes ?? []), ...events.filter((e) => e.kind === "note-kept").map((e) => e.body)];
  return new Set(notes.filter((body) => body.text === words).map((body) => body.about));
}
