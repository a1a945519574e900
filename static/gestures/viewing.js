// Pan with the middle button, pan and zoom with two fingers, zoom with the wheel.

/** @param {import("../desk.js").Desk} desk */
export function pan(desk, event) {
  let [x, y] = [event.clientX, event.clientY];
  return {
    cursor: "grabbing",
    move(now) {
      desk.moveView(desk.sheet.view.pannedBy(now.clientX - x, now.clientY - y));
      [x, y] = [now.clientX, now.clientY];
    },
    end() {},
    cancel() {},
  };
}

/** Two fingers: the point between them stays under them. @param {Map<number, {clientX: number, clientY: number}>} fingers */
export function pinch(desk, fingers) {
  const measure = () => {
    const [a, b] = [...fingers.values()];
    const { left, top } = desk.sheet.place.getBoundingClientRect();
    return {
      x: (a.clientX + b.clientX) / 2 - left,
      y: (a.clientY + b.clientY) / 2 - top,
      apart: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) || 1,
    };
  };
  let before = measure();
  return {
    cursor: "grabbing",
    move() {
      const now = measure();
      const view = desk.sheet.view.pannedBy(now.x - before.x, now.y - before.y).zoomedAt(now.apart / before.apart, now.x, now.y);
      before = now;
      desk.moveView(view);
    },
    end() {},
    cancel() {},
  };
}

/** @param {import("../desk.js").Desk} desk @param {WheelEvent} event */
export function wheel(desk, event) {
  event.preventDefault();
  const { left, top } = desk.sheet.place.getBoundingClientRect();
  const lines = event.deltaMode === 1 ? 16 : 1;
  desk.moveView(desk.sheet.view.zoomedAt(Math.exp(-event.deltaY * lines * 0.0015), event.clientX - left, event.clientY - top));
}
