// The tiles in words, for those who do not see them: how large the whole is, and every tile from top to bottom.

import { inWords } from "../spoken.js";

/** @param {import("./picture.js").Picture} picture @param {object} table shared/kinds.json @returns {string[]} */
export function sentences(picture, table) {
  const words = (reading) => inWords(reading.text, table);
  const level = (height) => {
    const bar = picture.bars.find((each) => each.level === height);
    return bar ? words(bar.potential) : null;
  };
  const whole = `${picture.tiles.length} ${picture.tiled ? "tiles fill a rectangle" : "tiles side by side"}, ${words(picture.width)} across in all and ${words(picture.height)} up, ${words(picture.area)} in all.`;
  const sorted = [...picture.tiles].sort((a, b) => b.top - a.top || a.left - b.left);
  return [whole, ...sorted.map((tile) => {
    const [top, bottom] = [level(tile.top), level(tile.bottom)];
    if (tile.right === tile.left) return `${tile.part}, a bare line${top ? ` at ${top}` : ""}: no ${picture.across}.`;
    const between = top && bottom ? `, from ${top} down to ${bottom}` : "";
    const on = neighbours(tile, picture);
    return `${tile.part}${between}: ${words(tile.across)} across, ${words(tile.voltage)} up, ${words(tile.area)}${on ? `; ${on}` : ""}.`;
  })];
}

/** What a tile stands on and what follows it to the right. */
function neighbours(tile, picture) {
  if (!picture.tiled) return "";
  const slack = picture.width.value * 1e-9;
  const others = picture.tiles.filter((each) => each !== tile && each.right > each.left);
  const under = others.filter((each) => each.top === tile.bottom && Math.min(each.right, tile.right) - Math.max(each.left, tile.left) > slack);
  const beside = others.filter((each) => Math.abs(each.left - tile.right) <= slack && Math.min(each.top, tile.top) > Math.max(each.bottom, tile.bottom));
  const said = [];
  if (under.length) said.push(`on top of ${under.map((each) => each.part).join(" and ")}`);
  if (beside.length) said.push(`left of ${beside.map((each) => each.part).join(" and ")}`);
  return said.join(", ");
}
