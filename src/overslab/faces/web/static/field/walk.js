// Which point next: along the taped grid, back and forth, from wherever the rod stands now.

const axisOf = (along) => (along === "numbers" ? ["letter", "number"] : ["number", "letter"]);

// Points are { label, letter, number } with letter and number counted from 0. Which way the crew
// walks is taken from its last steps; along the numbers (A1, A2, ...) until it shows otherwise.
function waysWalked(trail) {
  let numbers = 0;
  let letters = 0;
  for (let i = Math.max(1, trail.length - 6); i < trail.length; i += 1) {
    const [a, b] = [trail[i - 1], trail[i]];
    if (a.letter === b.letter && Math.abs(a.number - b.number) === 1) numbers += 1;
    if (a.number === b.number && Math.abs(a.letter - b.letter) === 1) letters += 1;
  }
  return letters > numbers ? "letters" : "numbers";
}

// grid: all points on the floor; done: Set of labels shot; trail: grid points in the order shot.
export function nextPoint(grid, done, trail) {
  const free = grid.filter((point) => !done.has(point.label));
  if (!free.length) return null;
  const last = trail[trail.length - 1];
  if (!last) return free[0];
  const [line, along] = axisOf(waysWalked(trail));
  const before = trail[trail.length - 2];
  const heading = before && before[line] === last[line] ? Math.sign(last[along] - before[along]) : 1;
  const climbing = trail.reduceRight((way, point, i) => {
    if (way || i === 0) return way;
    return Math.sign(point[line] - trail[i - 1][line]);
  }, 0) || 1;
  const cost = (point) => {
    const rows = Math.abs(point[line] - last[line]);
    const steps = Math.abs(point[along] - last[along]);
    // Finish this line of the grid, then the nearest one; on it, begin at the end that is nearer.
    const turn = rows ? Math.sign(point[line] - last[line]) !== climbing : Math.sign(point[along] - last[along]) !== heading;
    return rows * 1000 + ends(point) * 2 + (rows ? 0 : steps * 2) + (turn ? 1 : 0);
  };
  // On another line only its two ends are good places to begin; the nearer end wins.
  const ends = (point) => {
    if (point[line] === last[line]) return 0;
    const row = free.filter((other) => other[line] === point[line]).map((other) => other[along]);
    const atEnd = point[along] === Math.min(...row) || point[along] === Math.max(...row);
    return Math.abs(point[along] - last[along]) + (atEnd ? 0 : 200);
  };
  return free.reduce((best, point) => (cost(point) < cost(best) ? point : best));
}
