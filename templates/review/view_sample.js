// A sample of joints for an audit, drawn by a seed: anybody with the seed draws the same.
function drawSample(page, { value, more }) {
  const seed = el("input", { type: "number", step: 1, value: value || "1", required: true });
  const count = el("input", { type: "number", min: 1, step: 1, value: more.joints || "10", required: true });
  const weights = { label: "Weight", width: 5, right: true, text: (row) => String(word("weight", row)), key: (row) => word("weight", row) };
  const because = { label: "Because", width: 12, text: (row) => word("because", row).join(", ") || "-" };
  const columns = [JOINT_COLUMNS.number, weights, because, ...["line", "kp", "kind", "day", "welders", "verdict", "open"].map((name) => JOINT_COLUMNS[name])];
  const table = new LongTable({ label: "Sample", file: `${core.project}-sample`, columns, link: (row) => address("joint", joints.number[row]) });
  const draw = () => {
    const wanted = Math.max(1, Math.floor(Number(count.value)) || 1);
    const rows = drawn(String(Math.trunc(Number(seed.value) || 0)), wanted);
    table.show(rows);
    history.replaceState(null, "", address("sample", String(Math.trunc(Number(seed.value) || 0)), { joints: wanted }));
    say(`${plural(rows.length, "joint")} drawn.`);
  };
  add(page, heading("Sample for an audit"), el("p", null, core.method), el("form", { class: "filters", onsubmit: (event) => { event.preventDefault(); draw(); } },
    el("label", { class: "field" }, "Seed, a whole number", seed), el("label", { class: "field" }, "Joints", count), el("button", { type: "submit" }, "Draw")), table.node);
  draw();
}
