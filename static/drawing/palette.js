// Colours and type of the drawing, as attributes, so that a picture taken off the page looks the same.

export const INK = "#1d2b3a";
export const SOFT = "#5d6b78";
export const SHEET = "#fffdf8";
export const ACCENT = "#3b4a9c";
export const AMBER = "#e9b44c";
export const READING = "#7a4a00";
export const BRICK = "#b3402a";
export const SLAB = "#cdbb8a";
export const SERIF = '"STIX Two Text", "Source Serif 4", Georgia, "DejaVu Serif", serif';
export const SANS = '"Inter", "Source Sans 3", system-ui, "DejaVu Sans", sans-serif';

/** One indigo ramp in two halves, so that a flag's text is plain to read on every step. */
const PALE = ["#cfd6e6", "#8799d0"];
const DARK = ["#4a5fb0", "#212f73"];

const mix = (from, to, share) => {
  const channel = (index) => {
    const [a, b] = [from, to].map((colour) => parseInt(colour.slice(index, index + 2), 16));
    return Math.round(a + (b - a) * share);
  };
  return `rgb(${channel(1)} ${channel(3)} ${channel(5)})`;
};

/** The ramp's colour for a share from 0 (lowest potential) to 1 (highest). @param {number} share */
export const ramp = (share) => (share < 0.5 ? mix(PALE[0], PALE[1], share * 2) : mix(DARK[0], DARK[1], share * 2 - 1));

/** The text colour that is plain on `ramp(share)`. @param {number} share */
export const onRamp = (share) => (share < 0.5 ? INK : "#ffffff");

/** Up to this many parts a changed colour or size eases; with more, easing would only delay what is to be seen. */
const MOST_EASED = 60;

/** The class of what may ease. @param {{parts: unknown[]}} sketch */
export const easingOf = (sketch) => (sketch.parts.length <= MOST_EASED ? "eased" : "");
