// The floor from above, filling as shots come in. Drawn from the job's data; words say it as well.

const SPACE = "http://www.w3.org/2000/svg";

function draw(parent, tag, attributes) {
  const made = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  parent.append(made);
  return made;
}

export function boxOf(data, rows) {
  const points = [...data.floor.outline, ...data.grid.map((p) => [p.x_m, p.y_m]),
    ...rows.filter((row) => Number.isFinite(row.x_m)).map((row) => [row.x_m, row.y_m])];
  if (!points.length) return { left: 0, top: 1, wide: 1, tall: 1 };
  const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
  const [left, right, low, top] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const rim = Math.max(right - left, top - low, 1) * 0.05;
  return { left: left - rim, top: top + rim, wide: right - left + 2 * rim, tall: top - low + 2 * rim };
}

// Lower floor is drawn larger: a second cue beside the filling, and readable without colour.
function sizes(rows, unit) {
  const known = rows.filter((row) => Number.isFinite(row.reading_m));
  const low = Math.min(...known.map((row) => row.reading_m));
  const high = Math.max(...known.map((row) => row.reading_m));
  return (row) => unit * (0.7 + (high > low && Number.isFinite(row.reading_m) ? 0.6 * ((row.reading_m - low) / (high - low)) : 0.3));
}

// svg: where to; next: the point to be shot; odd: ids of rows that are asked about.
export function drawMap(svg, { data, rows, next, odd = new Set(), labels = false }) {
  const box = boxOf(data, rows);
  const unit = Math.max(box.wide, box.tall) / (labels ? 60 : 36);
  const at = ([x, y]) => [x - box.left, box.top - y];
  const path = (points) => points.map((p) => at(p).map((n) => n.toFixed(3)).join(",")).join(" ");
  svg.setAttribute("viewBox", `0 0 ${box.wide.toFixed(3)} ${box.tall.toFixed(3)}`);
  svg.replaceChildren();
  if (data.floor.outline.length) draw(svg, "polygon", { points: path(data.floor.outline), class: "m-floor", "stroke-width": unit * 0.35 });
  for (const ring of data.floor.holes) draw(svg, "polygon", { points: path(ring), class: "m-hole", "stroke-width": unit * 0.2 });
  for (const ring of data.floor.apart) draw(svg, "polygon", { points: path(ring), class: "m-apart", "stroke-width": unit * 0.2, "stroke-dasharray": `${unit} ${unit * 0.6}` });
  for (const line of data.floor.breaks) draw(svg, "polyline", { points: path(line.line), class: "m-break", "stroke-width": unit * 0.25, "stroke-dasharray": `${unit * 0.5} ${unit * 0.4}` });
  for (const door of data.floor.doors) draw(svg, "polyline", { points: path(door.line), class: "m-door", "stroke-width": unit * 0.9 });
  const standing = rows.filter((row) => !row.struck && Number.isFinite(row.x_m));
  const shot = new Set(standing.map((row) => row.point));
  for (const point of data.grid.filter((p) => !shot.has(p.label))) {
    const [x, y] = at([point.x_m, point.y_m]);
    draw(svg, "circle", { cx: x, cy: y, r: unit * 0.45, class: "m-open", "stroke-width": unit * 0.18 });
  }
  const size = sizes(standing, unit);
  const written = [];
  if (labels && next && Number.isFinite(next.x_m)) label(svg, next.point, at([next.x_m, next.y_m]), unit, 2.6, written);
  for (const row of standing) {
    const [x, y] = at([row.x_m, row.y_m]);
    if (odd.has(row.id)) {
      const r = unit * 1.5;
      draw(svg, "polygon", { points: `${x},${y - r} ${x + r},${y + r} ${x - r},${y + r}`, class: "m-odd", "stroke-width": unit * 0.3 });
    } else draw(svg, "circle", { cx: x, cy: y, r: size(row), class: "m-shot" });
    if (labels) label(svg, row.point, [x, y], unit, 1.6, written);
  }
  if (next && Number.isFinite(next.x_m)) {
    const [x, y] = at([next.x_m, next.y_m]);
    draw(svg, "circle", { cx: x, cy: y, r: unit * 1.9, class: "m-next", "stroke-width": unit * 0.6 });
  }
}

// A name that would lie on another is left out: the point to be shot comes first and always stands.
function label(svg, words, [x, middle], unit, up, written) {
  const [y, size] = [middle - unit * up, unit * 2.1];
  const half = words.length * size * 0.36;
  if (written.some((one) => Math.abs(one.x - x) < one.half + half && Math.abs(one.y - y) < size)) return;
  written.push({ x, y, half });
  draw(svg, "text", { x, y, class: "m-label", "font-size": size, "text-anchor": "middle" }).textContent = words;
}

// The same in words, for who cannot see the drawing.
export function mapWords({ data, rows, next, odd = new Set() }) {
  const shot = new Set(rows.filter((row) => !row.struck).map((row) => row.point));
  const done = data.grid.filter((point) => shot.has(point.label)).length;
  const parts = [data.grid.length ? `${done} of ${data.grid.length} grid points shot` : `${shot.size} points shot`];
  if (next?.point) parts.push(`next ${next.point}`);
  if (odd.size) parts.push(`${odd.size} asked about`);
  return `Map: ${parts.join(", ")}.`;
}

// The grid point nearest to a tap on the drawing.
export function nearestTo(svg, event, data, rows) {
  const box = boxOf(data, rows);
  const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const [x, y] = [spot.x + box.left, box.top - spot.y];
  let best = null;
  for (const point of data.grid) {
    const far = Math.hypot(point.x_m - x, point.y_m - y);
    if (!best || far < best.far) best = { point, far };
  }
  return best?.point ?? null;
}
