// A worked solution in LaTeX as a document that compiles: a preamble, and a spelling for each sign that LaTeX lacks.

/** Greek letters, which names of parts may be of. Those that look like Latin ones are set upright. */
const GREEK =
  "α alpha β beta γ gamma δ delta ε varepsilon ζ zeta η eta θ theta ι iota κ kappa λ lambda μ mu ν nu ξ xi π pi ρ rho ς varsigma σ sigma τ tau υ upsilon φ varphi χ chi ψ psi ω omega " +
  "Γ Gamma Δ Delta Θ Theta Λ Lambda Ξ Xi Π Pi Σ Sigma Υ Upsilon Φ Phi Ψ Psi Ω Omega";
const UPRIGHT = "ο o Α A Β B Ε E Ζ Z Η H Ι I Κ K Μ M Ν N Ο O Ρ P Τ T Χ X";
const SIGNS = { "≠": "\\neq", "≤": "\\leq", "≥": "\\geq", "→": "\\to", "←": "\\leftarrow", "∞": "\\infty", "√": "\\surd", "′": "'", "″": "''" };

const pairs = (text, write) => text.split(" ").reduce((all, word, index, words) => (index % 2 ? { ...all, [words[index - 1]]: write(word) } : all), {});
/** Signs and how LaTeX's mathematics spells them. */
export const MATH = { ...pairs(GREEK, (name) => `\\${name}`), ...pairs(UPRIGHT, (letter) => `\\mathrm{${letter}}`), ...SIGNS, "µ": "\\mu" };

/** Lowered and raised digits. */
for (const [digits, sign] of [["₀₁₂₃₄₅₆₇₈₉", "_"], ["⁰¹²³⁴⁵⁶⁷⁸⁹", "^"]]) [...digits].forEach((digit, value) => (MATH[digit] = `{}${sign}{${value}}`));

/** Latin letters with accents, which the usual fonts have. */
const HAD = /[\u{A0}-\u{FF}\u{100}-\u{17F}\u{2010}-\u{2027}]/u;

const PAPERS = { a4: "a4paper", letter: "letterpaper" };

/** One line of the preamble for a sign; a sign that nobody has told LaTeX of comes out as a box, and the rest as it should. */
function declared(sign) {
  const code = sign.codePointAt(0).toString(16).toUpperCase().padStart(4, "0");
  const spelling = MATH[sign] ? `\\ensuremath{${MATH[sign]}}` : "\\fbox{?}";
  return `  \\DeclareUnicodeCharacter{${code}}{${spelling}}`;
}

/**
 * @param {string} body as `allAsLatex` writes it @param {string} paper "a4" or "letter"
 * @returns {string} for pdfLaTeX, LuaLaTeX and XeLaTeX
 */
export function latexDocument(body, paper) {
  const signs = [...new Set(body.normalize("NFC").replace(/[\0-\x7f]/g, ""))].filter((sign) => MATH[sign] || !HAD.test(sign)).sort();
  const lines = [
    `\\documentclass[11pt,${PAPERS[paper] ?? PAPERS.a4}]{article}`,
    "\\usepackage[margin=25mm]{geometry}",
    "\\usepackage{amsmath}",
    "\\usepackage{iftex}",
    "\\ifPDFTeX",
    "  \\usepackage[T1]{fontenc}",
    "  \\IfFileExists{lmodern.sty}{\\usepackage{lmodern}}{}",
    "  \\usepackage{textcomp}",
    ...signs.map(declared),
    "\\fi",
    "\\setlength{\\parindent}{0pt}",
    "\\setlength{\\parskip}{4pt plus 2pt}",
    "\\allowdisplaybreaks",
    "\\begin{document}",
    "",
    body.normalize("NFC").replace(/[\0-\x08\x0b-\x1f]/g, " ").trimEnd(),
    "",
    "\\end{document}",
  ];
  return `${lines.join("\n")}\n`;
}
