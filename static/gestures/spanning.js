// Span a box with Shift held: what lies in it is selected.

import { routes } from "../geometry.js";

/** @param {import("../desk.js").Desk} desk */
export function spanBox(desk, event) {
  const from = desk.sheet.gridPoint(event);
  let to = from;
  return {
    cursor: "cell",
    move(now) {
      to = desk.sheet.gridPoint(now);
      desk.sheet.gesture.span = { from, to };
      desk.sheet.mark();
    },
    end() {
      const inside = ([x, y]) => (x - from[0]) * (x - to[0]) <= 0 && (y - from[1]) * (y - to[1]) <= 0;
      const { sketch } = desk.doc;
      const lies = (part) => {
        const { points, symbol } = routes(sketch).get(part.name);
        return part.kind === "wire" ? points.every(inside) : inside(symbol.at);
      };
      const parts = sketch.parts.filter(lies);
      this.cancel();
      desk.doc.select(parts.map((part) => part.name));
    },
    cancel() {
      desk.sheet.gesture.span = null;
      desk.sheet.mark();
    },
  };
}
