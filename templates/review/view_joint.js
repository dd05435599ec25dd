// Everything on record about one joint, as its printed sheet has it.
async function drawJoint(page, { value, more }) {
  const rows = rowsOf(value);
  if (!rows.length) return nothing(page, "joint", value);
  const at = Math.min(Math.max(Number(more.place || 1) - 1, 0), rows.length - 1);
  const row = rows[at];
  const told = await historyOf(row);
  const step = (by, text) => (row + by >= 0 && row + by < joints.count ? el("a", { href: address("joint", joints.number[row + by]) }, text) : el("span"));
  add(page, 
    heading(`Joint ${value}`, verdict(verdictOf(row)), stageMarks(row)),
    el("p", { class: "steps" }, step(-1, "Joint before"), step(1, "Joint after"), el("a", { href: "#joints" }, "All joints")),
    rows.length > 1 ? el("p", { class: "warn" }, `This number stands ${rows.length} times in the register. `, rows.map((_, n) => [el("a", { href: address("joint", value, { place: n + 1 }), "aria-current": n === at ? "true" : null }, `Entry ${n + 1}`), " "])) : null,
    more.hash ? sheetCheck(told, more) : null,
    told.caution.length ? el("p", { class: "warn" }, told.caution.join(" ")) : null,
    facts(told.facts));
  await jointFindings(page, value);
  for (const part of told.parts) add(page, sheetTable(part) || "");
  return undefined;
}

// A printed sheet that was scanned: does it show what this page shows?
function sheetCheck(told, { document: sheet, revision, records, hash }) {
  const same = hash === told.mark;
  return el("p", { class: same ? "fine" : "warn" }, same
    ? `The printed sheet ${sheet}, revision ${revision}, shows the same records as this page.`
    : `The printed sheet ${sheet}, revision ${revision}, records to ${records}, was made of other records than this page (${told.mark} here, ${hash} there). Compare before relying on either.`);
}

async function jointFindings(page, number) {
  const found = await open("data-findings");
  const own = found.id.map((_, row) => row).filter((row) => found.subject[row].some(([kind, name]) => kind === "joint" && name === number));
  if (!own.length) {
    add(page, el("section", null, el("h2", null, "Findings"), el("p", null, "No check found anything on this joint.")));
    return;
  }
  add(page, el("section", null, el("h2", null, "Findings"), own.map((row) => findingCard(found, row, "h3"))));
}

function nothing(page, kind, value) {
  add(page, heading(`No ${kind} of that name`), el("p", null, "The records hold no ", kind, " ", el("bdi", { class: "asked" }, value), ". ", el("a", { href: address("find", value) }, "Search for it everywhere"), "."));
}
