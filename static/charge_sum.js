// What an isolated conductor says when it is pointed at: its net charge and the sum that makes it up.

import { coverOf } from "./covering.js";
import { endsOf, partNamed } from "./sketch.js";
import { hasStages, shownStage } from "./stages/sequence.js";

/** The conductor under the pointer: at a flag, at a joint, or on a line. */
function conductorAt(desk, solution, hit) {
  if (hit?.conductor) return hit.conductor;
  if (hit?.joint) return solution.joints[hit.joint]?.conductor;
  if (hit?.on !== "line") return undefined;
  const part = partNamed(desk.doc.sketch, hit.part);
  if (part.kind === "wire") return solution.joints[part.from]?.conductor;
  const near = (joint) => {
    const [x, y] = desk.doc.sketch.joints[joint];
    return Math.hypot(x - hit.spot[0], y - hit.spot[1]);
  };
  const nearest = endsOf(part).reduce((best, joint) => (near(joint) < near(best) ? joint : best));
  return solution.joints[nearest]?.conductor;
}

/** From which plates the charge came at the start of the stage shown, in a line. */
function broughtTo(desk, conductor) {
  const { sketch } = desk.doc;
  const kept = hasStages(sketch) && desk.currentSolution?.stages?.[shownStage(sketch)]?.kept?.find(({ joints }) => joints.includes(conductor.joints[0]));
  return kept ? [`brought along: ${kept.parts.map((name, index) => `${kept.before[index].text} by ${name}`).join(", ")}`] : [];
}

/** @param {import("./desk.js").Desk} desk @returns {{joint: string, lines: string[]}|null} */
export function chargeSum(desk, hit) {
  const solution = desk.currentSolution;
  if (!solution || !hit) return null;
  const id = conductorAt(desk, solution, hit);
  const conductor = solution.conductors[id];
  if (!conductor?.isolated) return null;
  const check = solution.checks.find((each) => each.kind === "charge" && each.conductor === id);
  if (!check) return null;
  const covered = coverOf(desk.doc.sketch);
  const plates = check.parts.map((part, index) => {
    const { text } = check.terms[index];
    if (!covered(`${part}.charge`)) return text;
    return text.startsWith("−") ? "−?" : "?";
  });
  const sum = plates.map((text, index) => (index === 0 ? text : text.startsWith("−") ? ` − ${text.slice(1)}` : ` + ${text}`)).join("");
  const brought = covered("*") || check.parts.some((part) => covered(`${part}.charge`)) ? [] : broughtTo(desk, conductor);
  return { conductor: id, joint: conductor.joints[0], lines: [`isolated conductor: net charge ${conductor.charge.text}`, `${sum} = ${conductor.charge.text}`, ...brought] };
}
