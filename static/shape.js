// Whether data from outside (a link, this device's storage) has the shape of a sketch, so that it can be drawn at all.
// Whether it is a right sketch is for the server to say.

import { TWO_WAY } from "./two_way.js";

/** @typedef {import("./sketch.js").Sketch} Sketch */

const isObject = (data) => typeof data === "object" && data !== null && !Array.isArray(data);
const isText = (data) => typeof data === "string";
const isListOf = (test) => (data) => Array.isArray(data) && data.every(test);
const isPairOf = (test) => (data) => isListOf(test)(data) && data.length === 2;
const isSpot = isPairOf(Number.isSafeInteger);
const isOr = (test) => (data) => data === undefined || test(data);

const PART = { value: isText, tolerance: isText, initial: isText, rated: isText, reverse: isText, internal: isText, closed: (data) => typeof data === "boolean", rests: isText };
const isRequirement = (data) => isObject(data) && isText(data.reading) && isText(data.value) && isOr(isText)(data.after);
const isQuestion = (data) => isObject(data) && isText(data.reading) && isOr(isText)(data.reaches) && isOr(isText)(data.at);
const isStage = (data) => isObject(data) && isListOf(isText)(data.closed) && isOr(isListOf(isText))(data.second) && isOr(isText)(data.name) && isOr(isText)(data.text) && isOr(isObject)(data.set);
const SKETCH = { title: isText, zero: isText, figures: Number.isSafeInteger, covered: isListOf(isText), probes: isListOf(isPairOf(isText)), required: isListOf(isRequirement), questions: isListOf(isQuestion), stages: isListOf(isStage), stage: Number.isSafeInteger, usable: Number.isSafeInteger, lot: Number.isSafeInteger };

const fits = (data, optional) => Object.entries(optional).every(([key, test]) => isOr(test)(data[key]));

/**
 * @param {unknown} data
 * @param {object} [kinds] where given, every part has to be of a kind that stands in this table
 * @returns {data is Sketch}
 */
export function isSketch(data, kinds) {
  if (!isObject(data) || !isObject(data.joints) || !Array.isArray(data.parts) || !fits(data, SKETCH)) return false;
  const isEnd = (joint) => isText(joint) && Object.hasOwn(data.joints, joint);
  const isKind = (kind) => isText(kind) && (kinds === undefined || Object.hasOwn(kinds, kind));
  const isPart = (part) =>
    isObject(part) && isText(part.name) && isKind(part.kind) && isEnd(part.from) && isEnd(part.to) && (part.kind === TWO_WAY ? isEnd(part.second) : part.second === undefined) && fits(part, PART);
  return Object.values(data.joints).every(isSpot) && data.parts.every(isPart);
}
