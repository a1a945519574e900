// What a step asks before it tells: the quantity to predict, from what the step goes on to arrive at.

/** @typedef {import("./step_view.js").Step} Step */

/** The readings of one part in the order in which a class asks for them. */
const IN_ORDER = ["capacitance", "resistance", "voltage", "charge", "current", "energy", "power", "potential"];
const TOTALS = { energy: "How much energy is stored in all?", power: "What power do the resistors take in all?", lost: "How much energy is lost on the way?", work: "How much work does the battery do?" };

/** @param {string[]} words */
const listing = (words) => (words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`);

/** What a step's readings are of, and which quantities. @param {Step} step */
function aimsOf({ readings }) {
  const [owners, quantities] = [new Set(), new Set()];
  for (const key of Object.keys(readings)) {
    const dot = key.lastIndexOf(".");
    owners.add(key.slice(0, dot));
    quantities.add(key.slice(dot + 1));
  }
  return { owners: [...owners], quantities: IN_ORDER.filter((each) => quantities.has(each)), all: quantities };
}

/** One question on the quantity that a step arrives at. @param {Step} step @returns {string} */
export function questionOf(step) {
  const { owners, quantities, all } = aimsOf(step);
  const { kind, title } = step;
  const group = /^(.+) in (?:series|parallel)$/.exec(title);
  if (group && quantities.length) return `What ${quantities[0]} do ${group[1]} come to?`;
  if (kind === "delta-star" && quantities.length) return `What ${quantities[0]} do ${listing(owners)} need to have?`;
  if (kind === "battery" && owners.length === 1) return `How much charge did ${owners[0]} deliver, and how much work did it do?`;
  if (kind === "equivalent" && owners.length === 1) return `What does ${owners[0]} see?`;
  if (owners.length === 1 && owners[0] === "total") return TOTALS[[...all][0]] ?? "What does it come to in all?";
  if (kind === "check") return "Do both ways come to the same?";
  if (kind === "switch") return "What does its position do to the network?";
  if (kind === "constant") return "What is the time constant?";
  if (kind === "given" && !owners.length) return "What is known, and what is to be found?";
  if (kind === "equations") return "Which equation holds here?";
  if (kind === "solve") return "What does the unknown come to?";
  if (owners.some((owner) => owner.startsWith("joint "))) return "Which potentials are known?";
  const parts = owners.filter((owner) => owner !== "total" && !(kind === "whole" && owner !== owners[0]));
  if (!parts.length || !quantities.length) return `What does this come to: ${title}?`;
  return `What ${quantities.length > 1 ? "are" : "is"} the ${listing(quantities)} of ${listing(parts)}?`;
}
