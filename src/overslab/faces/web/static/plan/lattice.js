// Heights between the points of the lattice that the laptop made for this walk.

const UNIT = 1e-5; // hundredths of a millimetre

export class Lattice {
  constructor(told) {
    this.told = told;
  }

  // Values at a place of the floor, or null where none are known. Between four points of one panel
  // it goes straight from one to the other; across a break and at the edge the nearest point holds.
  at(x_m, y_m) {
    const t = this.told;
    const u = (x_m - t.west_m) / t.step_m;
    const v = (y_m - t.south_m) / t.step_m;
    const column = Math.floor(u);
    const row = Math.floor(v);
    const corners = [[0, 0], [1, 0], [0, 1], [1, 1]].map(([right, up]) => {
      const [c, r] = [column + right, row + up];
      const there = c >= 0 && r >= 0 && c < t.columns && r < t.rows;
      const place = r * t.columns + c;
      if (!there || t.old[place] === null) return null;
      const share = (right ? u - column : 1 - u + column) * (up ? v - row : 1 - v + row);
      return { place, share };
    });
    const known = corners.filter(Boolean);
    if (!known.length) return null;
    const one = t.panel[known[0].place];
    const even = known.length === 4 && known.every((corner) => t.panel[corner.place] === one);
    const nearest = known.reduce((a, b) => (b.share > a.share ? b : a));
    const weights = even ? known : [{ place: nearest.place, share: 1 }];
    const mean = (sheet) => weights.reduce((sum, w) => sum + w.share * sheet[w.place], 0) * UNIT;
    const old_m = t.base_m + mean(t.old);
    const new_m = t.new ? t.base_m + mean(t.new) : null;
    const rod = (height) => (t.beam_m === null || height === null ? null : t.beam_m - height);
    return {
      old_m,
      new_m,
      thickness_m: new_m === null ? null : new_m - old_m,
      plus_or_minus_m: mean(t.spread),
      rod_new_m: rod(new_m),
      rod_old_m: rod(old_m),
    };
  }
}
