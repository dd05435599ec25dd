// Who may weld what: welders down, needs of the joints across, with the reason of every no.
const LETTERS = { F: ["good", "in force"], S: ["soon", "ends within 30 days"], E: ["bad", "ended or withdrawn"], "?": ["hold", "a value is not recorded"], "-": ["soft", "not covered"] };

async function drawCoverage(page) {
  const told = await open("data-people");
  add(page, heading("Coverage"), el("p", null, "Each need is a kind of weld that joints on record ask for. Choose a cell to see why."), sheetTable(told.needs) || el("p", null, "No joint on record tells what was welded."));
  if (!told.coverage.length) return;
  const why = el("div", { class: "why", role: "status" }, el("p", { class: "soft" }, "No cell is chosen."));
  const needs = told.coverage.flatMap((part) => part.heads.slice(2));
  const rows = told.coverage[0].rows.map((row, at) => [row[0], row[1], ...told.coverage.flatMap((part) => part.rows[at].slice(2).map((one) => one.split(MARK)[0]))]);
  const cellOf = (row, at) => {
    const letter = row[at + 2];
    const [mark, meaning] = LETTERS[letter] || LETTERS["?"];
    return el("td", { class: "centre" }, el("button", { type: "button", class: `mark ${mark}`, "aria-label": `${row[0]}, ${needs[at]}: ${meaning}`, onclick: () => explain(why, told, row, needs[at], letter) }, letter));
  };
  add(page, el("h2", { id: "matrix" }, "Who may weld what"), el("p", { class: "note" }, told.legend), why,
    el("div", { class: "wide", tabindex: 0, role: "region", "aria-labelledby": "matrix" }, el("table", { class: "matrix", "aria-labelledby": "matrix" },
      el("thead", null, el("tr", null, ["Stamp", "Name", ...needs].map((one) => el("th", { scope: "col" }, one)))),
      el("tbody", null, rows.map((row) => el("tr", null, el("th", { scope: "row" }, el("a", { href: address("welder", row[0]) }, row[0])), el("td", null, row[1]), needs.map((_, at) => cellOf(row, at))))))));
}

function explain(why, told, row, need, letter) {
  const lacks = told.why.filter(([stamp, , name]) => stamp === row[0] && name === need);
  const certificates = told.certificates.rows.filter((one) => one[0] === row[0]).map((one) => one[2]);
  const free = [...new Set(certificates)].filter((one) => !lacks.some(([, certificate]) => certificate === one));
  why.replaceChildren(el("h3", null, `${row[0]}, ${need}: ${(LETTERS[letter] || LETTERS["?"])[1]}`),
    free.length && letter !== "-" ? el("p", null, `Covered by ${free.join(", ")}.`) : "",
    lacks.length ? el("ul", null, lacks.map(([, certificate, , told]) => el("li", null, el("strong", null, certificate), ` ${told}`))) : el("p", null, certificates.length ? "No certificate lacks a variable of this weld." : "No certificate is on record."));
}
