// Welders: who they are, when each certificate was in force, and what they welded.
async function drawWelders(page) {
  const told = await open("data-people");
  const counts = new Map();
  joints.told.welders.words.forEach((stamps, at) => stamps.forEach((stamp) => { if (counts.has(stamp)) counts.get(stamp).push(at); else counts.set(stamp, [at]); }));
  const tally = new Uint32Array(joints.told.welders.words.length);
  for (const at of joints.welders) tally[at] += 1;
  const welded = (stamp) => (counts.get(stamp) || []).reduce((sum, at) => sum + tally[at], 0);
  const known = new Set(told.welders.map((one) => one.stamp));
  const rows = [...told.welders, ...[...counts.keys()].filter((stamp) => !known.has(stamp)).sort().map((stamp) => ({ stamp, name: "not on record", employer: "", since: "-", until: "-", lanes: [] }))];
  const table = new LongTable({ label: "Welders", file: `${core.project}-welders`, link: (at) => address("welder", rows[at].stamp), columns: [
    { label: "Stamp", width: 6, text: (at) => rows[at].stamp },
    { label: "Name", width: 13, text: (at) => rows[at].name },
    { label: "Employer", width: 12, text: (at) => rows[at].employer || "-" },
    { label: "From", width: 7, text: (at) => rows[at].since },
    { label: "To", width: 7, text: (at) => rows[at].until },
    { label: "Certificates", width: 20, text: (at) => rows[at].lanes.map((lane) => `${lane.certificate} (${lane.process})`).join(", ") || "none on record" },
    { label: "Breaks", width: 6, right: true, text: (at) => String(rows[at].lanes.reduce((sum, lane) => sum + lane.gaps.length, 0)) },
    { label: "Joints of the stamp", width: 7, right: true, text: (at) => String(welded(rows[at].stamp)) },
  ] });
  add(page, heading("Welders"), table.node, sheetTable(told.lapses) || "", sheetTable(told.certificates) || "", el("p", { class: "note" }, told.legend));
  table.show(rows.map((_, at) => at));
}

async function drawWelder(page, { value }) {
  const told = await open("data-people");
  const own = told.welders.filter((one) => one.stamp === value);
  const rows = where(everyJoint(), "welders", (stamps) => stamps.includes(value));
  if (!own.length && !rows.length) return nothing(page, "welder", value);
  add(page, heading(`Welder ${value}`), el("p", { class: "steps" }, el("a", { href: "#welders" }, "All welders")));
  if (own.length > 1) add(page, el("p", { class: "warn" }, `The stamp was held by ${own.length} people, one after the other.`));
  for (const one of own) add(page, facts([["Name", one.name], ["Employer", one.employer], ["Under this stamp from", one.since], ["To", one.until], ["Read from", one.read]]));
  if (!own.length) add(page, el("p", { class: "warn" }, "The register of welders does not hold this stamp."));
  const lanes = own.flatMap((one) => one.lanes);
  if (lanes.length) add(page, el("section", null, el("h2", null, "Certificates over time"), timeline(`Certificates of welder ${value}; the table below says the same in words`, lanes),
    el("p", { class: "note" }, "Bar: in force. Broken outline: not in force. Tick: confirmation. Dot: a day of work; cross: work while not in force. T: test."), inWords(lanes)));
  const certificates = told.certificates;
  add(page, sheetTable({ ...certificates, title: "What the certificates cover", rows: certificates.rows.filter((row) => row[0] === value) }) || "");
  await subjectFindings(page, "welder", value);
  const table = jointTable(`Joints welded by ${value}`, `${core.project}-${value}-joints`);
  add(page, el("section", null, el("h2", null, "Joints"), table.node));
  table.show(rows);
  return undefined;
}

function inWords(lanes) {
  const rows = lanes.flatMap((lane) => [
    ...lane.bars.map(([since, until]) => [lane.certificate, "in force", since, until === "-" ? "no lapse by time" : until, "-"]),
    ...lane.gaps.map(([since, until]) => [lane.certificate, `not in force${MARK}hold`, since, until, "-"]),
    ...lane.ticks.map(([day, by, process, joint, number, at]) => [lane.certificate, "confirmed", day, day, `${[by, `process ${process}`, joint && `joint ${joint}`].filter(Boolean).join(", ")}${number ? `; ${number}, page ${at}` : ""}`]),
    [lane.certificate, "paper", lane.tested, "-", lane.document[0] ? `${lane.document[0]}, page ${lane.document[1]}` : `none named${MARK}hold`],
  ]);
  return el("details", null, el("summary", null, "The same in words"), sheetTable({ title: "Times in force and confirmations", heads: ["Certificate", "What", "From", "To", "By, proof"], rows }, "h3"));
}

async function subjectFindings(page, kind, value) {
  const found = await open("data-findings");
  const own = found.id.map((_, row) => row).filter((row) => found.subject[row].some(([one, name]) => one === kind && name === value));
  if (!own.length) return;
  add(page, el("section", null, el("h2", null, `Findings (${own.length})`), findingTable(found, `${core.project}-${value}-findings`, own)));
}
