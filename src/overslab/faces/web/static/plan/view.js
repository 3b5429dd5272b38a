// A drawing in a window: moved and enlarged by fingers, wheel, keys and buttons.
// The drawing says itself how its millimetres lie on the floor (its data- attributes).

const SVG = "http://www.w3.org/2000/svg";
const STILL = 7; // px a finger may wander and still have tapped
const CLOSEST = 40; // times larger than the whole
const RIM = 19; // mm about the floor: names of doors and lengths stand there

export function shape(kind, attributes) {
  const made = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

export class View {
  // onTap(place): a place of the floor was tapped. grab(event, place): may take a drag over by giving
  // back { move(place), end() }.
  constructor(box, { onTap = () => {}, grab = () => null, onChange = () => {}, name, rim = RIM }) {
    this.box = box;
    this.onTap = onTap;
    this.grab = grab;
    this.onChange = onChange;
    this.rim = rim;
    this.fingers = new Map();
    box.tabIndex = 0;
    box.setAttribute("role", "application");
    box.setAttribute("aria-label", name);
    box.classList.add("alive");
    this.live = shape("g", { class: "live" });
    this.adopt(box.querySelector("svg"));
    box.addEventListener("pointerdown", (event) => this.down(event));
    box.addEventListener("pointermove", (event) => this.moved(event));
    for (const kind of ["pointerup", "pointercancel"]) {
      box.addEventListener(kind, (event) => this.up(event));
    }
    box.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    this.ready = true;
    new ResizeObserver(() => this.onChange()).observe(box);
  }

  // Take a drawing as the one shown; of the same size it keeps what is looked at.
  adopt(svg) {
    const before = this.all;
    const data = svg.dataset;
    this.svg = svg;
    this.west = Number(data.west);
    this.north = Number(data.north);
    this.left = Number(data.left);
    this.top = Number(data.top);
    this.perM = Number(data.perM);
    const [x, y, w, h] = svg.getAttribute("viewBox").split(" ").map(Number);
    this.all = { x, y, w, h };
    const same = before && before.w === w && before.h === h;
    svg.setAttribute("preserveAspectRatio", "xMidYMid meet");
    svg.append(this.live);
    const rim = this.rim;
    const [left, top, wide, high] = data.floor.split(" ").map(Number);
    this.ground = { x: left - rim, y: top - rim, w: wide + 2 * rim, h: high + 2 * rim };
    this.show(same ? this.region : { ...this.ground });
  }

  show(region) {
    this.region = region;
    this.svg.setAttribute("viewBox", [region.x, region.y, region.w, region.h].join(" "));
    if (this.ready) this.onChange();
  }

  spot([x_m, y_m]) {
    return [this.left + (x_m - this.west) * this.perM, this.top + (this.north - y_m) * this.perM];
  }

  place(event) {
    const m = this.svg.getScreenCTM().inverse();
    const x = m.a * event.clientX + m.c * event.clientY + m.e;
    const y = m.b * event.clientX + m.d * event.clientY + m.f;
    return [this.west + (x - this.left) / this.perM, this.north - (y - this.top) / this.perM];
  }

  // Sheet millimetres to one pixel of the screen.
  get perPixel() {
    const m = this.svg.getScreenCTM();
    return m && m.a ? 1 / m.a : 0.25;
  }

  get enlarged() {
    return this.all.w / this.region.w;
  }

  zoom(times, about = null) {
    const r = this.region;
    const most = Math.min(CLOSEST, Math.max(0.8, this.enlarged * times));
    const w = this.all.w / most;
    const h = (w * r.h) / r.w;
    const [x, y] = about ?? [r.x + r.w / 2, r.y + r.h / 2];
    this.show(this.kept({ x: x - ((x - r.x) / r.w) * w, y: y - ((y - r.y) / r.h) * h, w, h }));
  }

  pan(right, down) {
    const r = this.region;
    this.show(this.kept({ ...r, x: r.x + right, y: r.y + down }));
  }

  // Half of the window at least stays on the drawing.
  kept(r) {
    const a = this.all;
    const within = (value, low, high) => Math.min(Math.max(value, low), high);
    return {
      ...r,
      x: within(r.x, a.x - r.w / 2, a.x + a.w - r.w / 2),
      y: within(r.y, a.y - r.h / 2, a.y + a.h - r.h / 2),
    };
  }

  // Bring a place into sight when it has left the window.
  see(place) {
    const [x, y] = this.spot(place);
    const r = this.region;
    const edge = 0.06;
    const off = (at, low, size) => Math.min(0, at - low - size * edge) + Math.max(0, at - low - size * (1 - edge));
    const [right, down] = [off(x, r.x, r.w), off(y, r.y, r.h)];
    if (right || down) this.pan(right, down);
  }

  press(what) {
    const step = 0.25;
    const acts = {
      in: () => this.zoom(1.5),
      out: () => this.zoom(1 / 1.5),
      whole: () => this.show({ ...this.all }),
      floor: () => this.show({ ...this.ground }),
      left: () => this.pan(-step * this.region.w, 0),
      right: () => this.pan(step * this.region.w, 0),
      up: () => this.pan(0, -step * this.region.h),
      down: () => this.pan(0, step * this.region.h),
    };
    acts[what]?.();
  }

  down(event) {
    if (event.button) return;
    this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    try {
      this.box.setPointerCapture(event.pointerId);
    } catch {
      // A finger that is gone already cannot be held.
    }
    if (this.fingers.size === 1) {
      this.began = { x: event.clientX, y: event.clientY, at: this.place(event), moved: false };
      this.held = this.grab(event, this.began.at);
    } else {
      this.began = null; // two fingers: no tap, no drag of a thing
      this.held?.end(true);
      this.held = null;
    }
  }

  moved(event) {
    const before = this.fingers.get(event.pointerId);
    if (!before) return;
    const now = { x: event.clientX, y: event.clientY };
    if (this.fingers.size === 2) {
      this.pinch(event.pointerId, before, now);
    } else if (this.began) {
      const far = Math.hypot(now.x - this.began.x, now.y - this.began.y);
      if (far > STILL) this.began.moved = true;
      if (this.began.moved) {
        if (this.held) this.held.move(this.place(event));
        else this.pan((before.x - now.x) * this.perPixel, (before.y - now.y) * this.perPixel);
      } else return; // the first few pixels are not lost: the finger is still where it was
    }
    this.fingers.set(event.pointerId, now);
  }

  pinch(id, before, now) {
    const [other] = [...this.fingers].filter(([key]) => key !== id).map(([, at]) => at);
    const apart = (a) => Math.hypot(a.x - other.x, a.y - other.y);
    const middle = { clientX: (now.x + other.x) / 2, clientY: (now.y + other.y) / 2 };
    this.pan(((before.x - now.x) / 2) * this.perPixel, ((before.y - now.y) / 2) * this.perPixel);
    if (apart(before) > 5) this.zoom(apart(now) / apart(before), this.spot(this.place(middle)));
  }

  up(event) {
    if (!this.fingers.delete(event.pointerId)) return;
    const began = this.began;
    const cancelled = event.type === "pointercancel";
    if (began && !this.fingers.size) {
      this.held?.end(cancelled || !began.moved);
      if (!began.moved && !cancelled) this.onTap(began.at, event);
    }
    if (!this.fingers.size) {
      this.began = null;
      this.held = null;
    }
  }

  wheel(event) {
    const times = Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0018));
    if (times < 1 && this.enlarged <= 0.81) return; // the page scrolls on
    event.preventDefault();
    this.zoom(times, this.spot(this.place(event)));
  }
}

// The keys above the window.
export function toolbar(bar, view) {
  bar.hidden = false;
  bar.addEventListener("click", (event) => {
    const what = event.target.closest("[data-do]")?.dataset.do;
    if (what) view.press(what);
  });
}

// Keys that move the window; true when the key was one of them.
export function windowKey(event, view) {
  const acts = { "+": "in", "=": "in", "-": "out", _: "out", 0: "floor" };
  const looks = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" };
  const what = event.ctrlKey || event.metaKey ? null : event.altKey ? looks[event.key] : acts[event.key];
  if (!what) return false;
  event.preventDefault();
  view.press(what);
  return true;
}
