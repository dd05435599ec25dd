// Findings by what would cure them, or one by one, with reasons, clause and evidence.
const isOpen = (found, row) => found.verdict.words[found.verdict.at[row]] >= 2 && !found.conceded.words[found.conceded.at[row]];
const wordOf = (found, column, row) => found[column].words[found[column].at[row]];
const subjectOf = (found, row) => found.subject[row].map(([kind, name]) => `${kind} ${name}`).join(", ");
const verdictOfFinding = (found, row) => core.verdicts[wordOf(found, "verdict", row)];

function cureGroups(found, rows) {
  const groups = new Map();
  for (const row of rows) {
    const cure = found.cure.at[row];
    if (!groups.has(cure)) groups.set(cure, { cure, text: found.cure.words[cure], rows: [], joints: new Set(), worst: "clear", level: 0, checks: new Set() });
    const group = groups.get(cure);
    group.rows.push(row);
    group.checks.add(wordOf(found, "check", row));
    for (const [kind, name] of found.subject[row]) if (kind === "joint") group.joints.add(name);
    const level = wordOf(found, "verdict", row);
    if (level > group.level) Object.assign(group, { level, worst: core.verdicts[level] });
  }
  return [...groups.values()];
}

function findingTable(found, file, rows) {
  const table = new LongTable({ label: "Findings", file, link: (row) => address("finding", found.id[row]), columns: [
    { label: "Subject", width: 14, text: (row) => subjectOf(found, row) || "project" },
    { label: "Verdict", width: 9.8, text: (row) => verdictOfFinding(found, row), node: (row) => verdict(verdictOfFinding(found, row)), key: (row) => wordOf(found, "verdict", row) },
    { label: "Check", width: 12, text: (row) => wordOf(found, "check", row) },
    { label: "Finding", width: 32, text: (row) => found.sentence[row] },
    { label: "Cure", width: 24, text: (row) => wordOf(found, "cure", row) },
    { label: "Conceded by", width: 8, text: (row) => wordOf(found, "conceded", row) || "-" },
    { label: "Id", width: 14, text: (row) => found.id[row] },
  ] });
  table.show(rows);
  if (rows.length < 9) table.window.classList.add("few");
  return table.node;
}

async function drawFindings(page, { more }) {
  const found = await open("data-findings");
  const state = { text: "", verdict: "", check: "", state: "", cure: "", by: "cure", ...more };
  if (state.cure !== "") state.by = "finding";
  const list = el("div");
  const change = (name) => (value) => {
    state[name] = value;
    history.replaceState(null, "", address("findings", undefined, { ...state, by: state.by === "cure" ? "" : state.by }));
    show();
  };
  const lines = found.id.map((id, row) => `${id} ${subjectOf(found, row)} ${found.sentence[row]} ${wordOf(found, "cure", row)}`.toLowerCase());
  const kept = () => found.id.map((_, row) => row).filter((row) => (!state.verdict || verdictOfFinding(found, row) === state.verdict)
    && (!state.check || wordOf(found, "check", row) === state.check) && (state.cure === "" || found.cure.at[row] === Number(state.cure))
    && (!state.state || (state.state === "conceded" ? Boolean(wordOf(found, "conceded", row)) : isOpen(found, row)))
    && state.text.toLowerCase().split(/\s+/).every((one) => lines[row].includes(one)));
  const show = () => {
    closeTables();
    const rows = kept();
    list.replaceChildren(state.cure === "" ? "" : cureHead(found, state.cure, change("cure")), state.by === "cure" ? cureTable(found, rows) : findingTable(found, `${core.project}-findings`, rows));
    say(`${plural(rows.length, "finding")} shown.`);
  };
  add(page, heading("Findings"), el("form", { class: "filters", onsubmit: (event) => event.preventDefault() },
    choice("One row for each", [["cure", "cure"], ["finding", "finding"]], state.by, change("by")),
    textField("Holds these words", state.text, change("text")),
    choice("Verdict", [["", "any verdict"], ...core.verdicts.slice(1).reverse().map((one) => [one, one])], state.verdict, change("verdict")),
    choice("Check", [["", "any check"], ...[...found.check.words].sort().map((one) => [one, one])], state.check, change("check")),
    choice("State", [["", "open and conceded"], ["open", "open, hold or worse"], ["conceded", "conceded"]], state.state, change("state"))), list);
  show();
}

function cureHead(found, cure, drop) {
  return el("p", { class: "fine" }, el("strong", null, "Cure: "), found.cure.words[Number(cure)] || "", " ", el("button", { type: "button", onclick: () => drop("") }, "Show all cures again"));
}

function cureTable(found, rows) {
  const groups = cureGroups(found, rows).sort((one, other) => other.joints.size - one.joints.size || other.rows.length - one.rows.length);
  const table = new LongTable({ label: "Cures", file: `${core.project}-cures`, link: (at) => address("findings", undefined, { cure: groups[at].cure }), columns: [
    { label: "Cure", width: 44, text: (at) => groups[at].text },
    { label: "Worst verdict", width: 9.8, text: (at) => groups[at].worst, node: (at) => verdict(groups[at].worst), key: (at) => groups[at].level },
    { label: "Joints", width: 5, right: true, text: (at) => String(groups[at].joints.size), key: (at) => groups[at].joints.size },
    { label: "Findings", width: 6, right: true, text: (at) => String(groups[at].rows.length), key: (at) => groups[at].rows.length },
    { label: "Checks", width: 18, text: (at) => [...groups[at].checks].join(", ") },
  ] });
  table.show(groups.map((_, at) => at));
  return table.node;
}

function subjectLinks(found, row) {
  const names = { joint: "joint", welder: "welder", batch: "batch", heat: "heat", procedure: "wps", line: "strip" };
  return found.subject[row].map(([kind, name], at) => [at ? ", " : "", `${kind} `, names[kind] ? el("a", { href: address(names[kind], name) }, el("bdi", null, name)) : el("bdi", null, name)]);
}

function findingCard(found, row, level) {
  const conceded = wordOf(found, "conceded", row);
  return el("article", { class: `card ${verdictOfFinding(found, row)}` },
    el(level, null, verdict(verdictOfFinding(found, row)), " ", found.sentence[row]),
    el("p", null, el("strong", null, "Cure: "), wordOf(found, "cure", row)),
    conceded ? el("p", null, el("strong", null, "Conceded by: "), conceded) : null,
    el("p", { class: "soft" }, subjectLinks(found, row), ` (${wordOf(found, "check", row)}, `, el("a", { href: address("finding", found.id[row]) }, found.id[row]), ")"),
    found.reasons[row].length ? sheetTable({ title: "Reasons", heads: found.heads, rows: found.reasons[row] }, level === "h2" ? "h3" : "h4") : null,
    found.evidence[row].length ? el("ul", { class: "evidence" }, found.evidence[row].map(([where, number, at]) => el("li", null, el("bdi", null, where), where && number ? "; " : "", number ? (at ? paper(number, at) : el("bdi", null, number)) : ""))) : null);
}

async function drawFinding(page, { value }) {
  const found = await open("data-findings");
  const row = found.id.indexOf(value);
  if (row < 0) return nothing(page, "finding", value);
  add(page, heading("Finding"), el("p", { class: "steps" }, el("a", { href: "#findings" }, "All findings"), el("a", { href: address("findings", undefined, { cure: found.cure.at[row] }) }, "All with this cure")), findingCard(found, row, "h2"));
  return undefined;
}
