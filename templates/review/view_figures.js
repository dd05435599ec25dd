// Rates with what they rest on, ages, and the map of completeness.
const isMap = (told) => told.heads[1] === "Of what";

async function drawFigures(page) {
  const figures = (await open("data-figures")).filter((told) => !isMap(told));
  add(page, heading("Rates and ages"), el("p", null, "Each rate stands beside its count and what it is counted of, with its exact 95 % interval. Few joints prove little."),
    figures.length ? el("nav", { "aria-label": "Figures", class: "inpage" }, el("ul", null, figures.map((told, at) => el("li", null, el("button", { type: "button", class: "aslink", onclick: () => byId(`figure-${at}`).scrollIntoView() }, told.title))))) : el("p", null, "Nothing was examined yet."));
  figures.forEach((told, at) => {
    const section = sheetTable(told);
    const chart = chartOf(told);
    section.id = `figure-${at}`;
    if (chart) section.firstElementChild.after(chart);
    add(page, section);
  });
}

async function drawCompleteness(page) {
  const told = (await open("data-figures")).find(isMap);
  add(page, heading("Completeness"));
  if (!told) { add(page, el("p", null, "No section asks for a paper yet.")); return; }
  const text = (row, at) => row[at].split(MARK)[0];
  const sections = [...new Set(told.rows.map((row) => text(row, 0)))];
  const kinds = [...new Set(told.rows.map((row) => text(row, 1)))];
  const found = new Map(told.rows.map((row) => [`${text(row, 0)}\n${text(row, 1)}`, row]));
  const square = (section, kind) => {
    const row = found.get(`${section}\n${kind}`);
    if (!row) return el("td", { class: "centre soft" }, "not asked");
    const share = percentOf(text(row, 4));
    const level = share === null ? "none" : share >= 100 ? "full" : share >= 90 ? "most" : share >= 50 ? "half" : "few";
    return el("td", { class: `centre share ${level}` }, el("span", null, text(row, 4)), el("small", null, `${text(row, 2)} of ${text(row, 3)}`));
  };
  add(page, el("p", { class: "note" }, told.note), el("div", { class: "wide", tabindex: 0, role: "region", "aria-label": "Map of completeness" }, el("table", { class: "matrix completeness" },
    el("caption", { class: "unseen" }, "Share of the papers that each section asks for"),
    el("thead", null, el("tr", null, el("th", { scope: "col" }, "Of what"), sections.map((one) => el("th", { scope: "col" }, one)))),
    el("tbody", null, kinds.map((kind) => el("tr", null, el("th", { scope: "row" }, kind), sections.map((one) => square(one, kind))))))));
}
