// Heats, batches and procedures, and the search that finds them all.
const THING_WIDTHS = { Title: 15, Code: 11.5, Change: 15, Classification: 14, "Read from": 13, Revision: 5.5, Items: 5, Type: 5, Types: 5, Kind: 6, Status: 6, "In force from": 7.5, "In force to": 7.5, Expires: 7 };
const THING_KINDS = { heat: ["heats", "Heats"], batch: ["batches", "Consumable batches"], wps: ["wps", "Procedures (WPS)"] };

async function drawThings(page) {
  const told = await open("data-things");
  add(page, heading("Heats, batches, WPS"));
  for (const [kind, [name, title]] of Object.entries(THING_KINDS)) {
    const { heads, rows } = told[name];
    const shown = heads.slice(0, -1);
    const table = new LongTable({ label: title, file: `${core.project}-${name}`, link: (at) => address(kind, rows[at][0]), columns: [
      ...shown.map((head, n) => ({ label: head, width: THING_WIDTHS[head] || 9, text: (at) => String(rows[at][n]) })),
      { label: "Proof", width: 14, text: (at) => rows[at].at(-1).map(([number, page]) => `${number}, page ${page}`).join("; ") || "none named", node: (at) => (rows[at].at(-1).length ? el("span", null, proofs(rows[at].at(-1))) : "none named") }] });
    add(page, el("section", null, el("h2", null, title), table.node));
    table.show(rows.map((_, at) => at));
    if (rows.length < 9) table.window.classList.add("few");
  }
}

const drawThing = (kind) => async (page, { value }) => {
  const [name] = THING_KINDS[kind];
  const { heads, rows } = (await open("data-things"))[name];
  const own = rows.filter((row) => row[0] === value);
  const used = jointsBy({ [kind]: value });
  if (!own.length && !used.length) return nothing(page, kind === "wps" ? "WPS" : kind, value);
  add(page, heading(`${kind === "wps" ? "WPS" : kind[0].toUpperCase() + kind.slice(1)} ${value}`), el("p", { class: "steps" }, el("a", { href: "#things" }, "All heats, batches and WPS")));
  if (!own.length) add(page, el("p", { class: "warn" }, "It is named by joints, but its own register does not hold it."));
  for (const row of own) add(page, facts([...heads.slice(0, -1).map((head, at) => [head, at ? String(row[at]) : ""]), ["Proof", row.at(-1).length ? el("span", null, proofs(row.at(-1))) : "no page named"]]));
  await subjectFindings(page, kind === "wps" ? "procedure" : kind, value);
  const table = jointTable(`Joints with ${value}`, `${core.project}-${value}-joints`);
  add(page, el("section", null, el("h2", null, "Joints"), table.node));
  table.show(used);
  return undefined;
};

async function drawFilm(page, { value }) {
  await gatherHay();
  const rows = named(value);
  if (!rows.length) return nothing(page, "film or report", value);
  const table = jointTable(`Joints with ${value}`, `${core.project}-${value}`);
  add(page, heading(`Film or report ${value}`), rows.length > 1 ? el("p", { class: "warn" }, `${rows.length} joints name it.`) : "", table.node);
  await subjectFindings(page, "film", value);
  await subjectFindings(page, "report", value);
  table.show(rows);
  return undefined;
}

// Names of every kind that hold the text, then the joints that hold it anywhere.
async function drawFind(page, { value }) {
  const text = value.trim().toLowerCase();
  const [people, told] = await Promise.all([open("data-people"), open("data-things"), gatherHay()]);
  const hits = [
    ...people.welders.filter((one) => `${one.stamp} ${one.name}`.toLowerCase().includes(text)).map((one) => ["Welder", `${one.stamp}, ${one.name}`, address("welder", one.stamp)]),
    ...Object.entries(THING_KINDS).flatMap(([kind, [name]]) => [...new Set(told[name].rows.map((row) => row[0]))].filter((one) => one.toLowerCase().includes(text)).map((one) => [kind === "wps" ? "WPS" : kind[0].toUpperCase() + kind.slice(1), one, address(kind, one)])),
  ];
  const rows = searched(text);
  const exact = named(text).length;
  const table = jointTable(`Joints found by ${value}`, `${core.project}-found`);
  add(page, heading(`Found: ${value}`),
    hits.length ? el("section", null, el("h2", null, "By name"), el("ul", { class: "hits" }, hits.slice(0, 40).map(([kind, name, href]) => el("li", null, el("span", { class: "soft" }, kind), " ", el("a", { href }, el("bdi", null, name))))), hits.length > 40 ? el("p", { class: "note" }, `${hits.length - 40} more; write more of the name.`) : "") : "",
    el("section", null, el("h2", null, "Joints"), exact ? el("p", null, `${plural(exact, "joint")} ${exact === 1 ? "names" : "name"} exactly this, among numbers, films, reports, repairs and items. `, el("a", { href: address("film", value.trim()) }, "Only these")) : "", table.node));
  table.show(rows);
}
