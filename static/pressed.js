// While a button is pressed down nothing may take its place: the click would come to nothing.

/** Milliseconds after a release within which a click that belongs to it has come. */
const CLICK_AFTER = 60;

let pressed = false;
/** @type {Set<() => void>} */
const waiting = new Set();

function released() {
  pressed = false;
  const all = [...waiting];
  waiting.clear();
  for (const act of all) act();
}

/** Does something at once, or as soon as no button is pressed down any more. @param {() => void} act */
export function onceReleased(act) {
  if (pressed) waiting.add(act);
  else act();
}

document.addEventListener("pointerdown", ({ button, target }) => (pressed = button === 0 && target instanceof Element && target.closest("button") !== null), true);
// What the click itself changes is painted at once; what came meanwhile follows.
document.addEventListener(
  "click",
  () => {
    pressed = false;
    setTimeout(released);
  },
  true,
);
for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => setTimeout(released, CLICK_AFTER), true);
// A release that went elsewhere, such as to another window, shows in the next move.
document.addEventListener("pointermove", ({ buttons }) => pressed && !buttons && released(), true);
window.addEventListener("blur", released);
