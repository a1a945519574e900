// What the server is sent to make a PDF of: the sketch, the choices, and the drawings, which only the browser makes.

import { fileText } from "../exporting.js";
import { answerDrawing, questionDrawing, stepDrawing, tilesDrawing } from "./drawings.js";

/**
 * @param {import("./sheets.js").Matter} matter @param {import("./sheets.js").Choices} choices @param {string} way of the worked solution @param {{lines: number, ownPage: boolean}} writing see `giveRoom`
 * @returns {object} the body of POST /api/handout.pdf
 */
export function pdfRequest({ sketch, solution, kinds, isCovered }, choices, way, writing) {
  const style = { kinds, big: 1, zigzag: choices.zigzag, overlays: { V: false, Q: false, U: false } };
  const { title, task, paper, question, key, room, tiles, steps } = choices;
  const drawings = {
    question: question ? fileText(questionDrawing(sketch, solution, style, isCovered)) : null,
    key: key ? fileText(answerDrawing(sketch, solution, style)) : null,
    tiles: key && tiles ? solution.tiles.pictures.map((each) => fileText(tilesDrawing(each, solution))) : [],
    steps: key && steps ? solution.steps.steps.map((step) => (step.sketch ? fileText(stepDrawing(step.sketch, style).drawing) : null)) : [],
  };
  return { sketch, drawings, options: { title, task, paper, question, key, room, tiles, steps, ...writing, way } };
}
