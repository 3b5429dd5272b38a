// What lies on top of the drawing: the mark that is read, the ends of the section.
import { shape } from "./view.js";

const INK = "#0b4455";

export class Markers {
  constructor(group) {
    this.group = group;
  }

  // Sizes are pixels of the screen however much the drawing is enlarged.
  draw(view, { at, line }) {
    const px = view.perPixel;
    const made = [];
    if (line.a && line.b) {
      const [a, b] = [view.spot(line.a), view.spot(line.b)];
      const way = `M${a.join(" ")}L${b.join(" ")}`;
      made.push(shape("path", { d: way, stroke: "#fff", "stroke-width": 5 }));
      made.push(shape("path", { d: way, stroke: INK, "stroke-width": 2.5, "stroke-dasharray": "12 4 3 4" }));
    }
    for (const end of ["a", "b"]) {
      if (!line[end]) continue;
      const [x, y] = view.spot(line[end]);
      made.push(shape("circle", { cx: x, cy: y, r: 22 * px, fill: "transparent", class: "grip", "data-end": end }));
      made.push(shape("circle", { cx: x, cy: y, r: 10 * px, fill: "#fff", stroke: INK, "stroke-width": 2.5 }));
      const letter = shape("text", { x, y: y + 4.5 * px, "font-size": 13 * px, "text-anchor": "middle", fill: INK, "font-weight": "bold" });
      letter.textContent = end.toUpperCase();
      made.push(letter);
    }
    if (at) {
      const [x, y] = view.spot(at);
      const cross = [[0, -1], [0, 1], [-1, 0], [1, 0]]
        .map(([right, down]) => `M${x + right * 4 * px} ${y + down * 4 * px}L${x + right * 16 * px} ${y + down * 16 * px}`)
        .join("");
      made.push(shape("circle", { cx: x, cy: y, r: 10 * px, stroke: "#fff", "stroke-width": 6 }));
      made.push(shape("path", { d: cross, stroke: "#fff", "stroke-width": 6 }));
      made.push(shape("circle", { cx: x, cy: y, r: 10 * px, stroke: INK, "stroke-width": 2.5, class: "mark-ring" }));
      made.push(shape("path", { d: cross, stroke: INK, "stroke-width": 2.5 }));
    }
    this.group.replaceChildren(...made);
  }
}
