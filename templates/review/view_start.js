// The first view: what the project is, how far it has come, what is open.
function drawStart(page) {
  const standing = everyJoint().filter((row) => ["welded", "planned"].includes(word("status", row)));
  add(page, 
    heading(`${core.project} ${core.title}`),
    facts(core.facts.filter(([name]) => !["Project", "Title"].includes(name))),
    el("section", null, el("h2", null, "How far the joints have come"), stageBars(standing)),
    el("section", null, el("h2", null, "Joints by their worst open verdict"), verdictBars()),
    sheetTable({ title: "Lines", heads: ["Section", "Title", "Procedures by", "Welders by", "Accepted by", "Service"], rows: core.lines.map((line) => line.map((one) => one || "-")) }),
    core.choices.length ? sheetTable({ title: "Readings of the codes that the project chose", heads: ["Question", "Reading"], rows: core.choices, note: "Where the project chose none, the stricter reading was taken." }) : null);
  open("data-findings").then((found) => cures(page, found));
  open("data-people").then((told) => add(page, sheetTable(told.lapses) || ""));
}

function shareBar(name, count, whole, classes, href) {
  const share = whole ? (100 * count) / whole : 0;
  const fill = el("span", { class: `fill ${classes}` });
  fill.style.width = `${share}%`;
  return el("li", null, el("span", { class: "name" }, href ? el("a", { href }, name) : name), el("span", { class: "track", "aria-hidden": "true" }, fill), el("span", { class: "told" }, `${count.toLocaleString("en")} of ${whole.toLocaleString("en")}, ${share.toFixed(1)} %`));
}

function stageBars(rows) {
  return el("ul", { class: "bars" }, core.stages.map((stage, at) => shareBar(stage, rows.filter((row) => reached(row, at)).length, rows.length, `s${at}`, address("joints", undefined, { without: stage }))),
    el("li", { class: "hint" }, "A stage leads to the joints that have not reached it."));
}

function verdictBars() {
  const counts = core.verdicts.map(() => 0);
  for (let row = 0; row < joints.count; row += 1) counts[word("verdict", row)] += 1;
  return el("ul", { class: "bars" }, core.verdicts.map((name, at) => shareBar(name, counts[at], joints.count, `v-${name}`, address("joints", undefined, { verdict: name }))).reverse());
}

function cures(page, found) {
  const groups = cureGroups(found, found.id.map((_, row) => row).filter((row) => isOpen(found, row)));
  const top = [...groups].sort((one, other) => other.joints.size - one.joints.size || other.rows.length - one.rows.length).slice(0, 8);
  if (!top.length) return;
  add(page, el("section", null, el("h2", null, `Open points: ${core.open}. What would help most joints`),
    el("ol", { class: "cures" }, top.map((one) => el("li", null, verdict(one.worst), " ", el("a", { href: address("findings", undefined, { cure: one.cure }) }, one.text), el("span", { class: "soft" }, ` ${plural(one.rows.length, "finding")}, ${plural(one.joints.size, "joint")}`))))));
}
