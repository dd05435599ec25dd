// Which view the address asks for, and how one gives way to the next.
const VIEWS = {
  start: ["Start", drawStart], joints: ["Joints", drawJoints], welders: ["Welders", drawWelders],
  coverage: ["Coverage", drawCoverage], strip: ["Strip map", drawStrip], figures: ["Rates and ages", drawFigures],
  completeness: ["Completeness", drawCompleteness], findings: ["Findings", drawFindings],
  things: ["Heats, batches, WPS", drawThings], sample: ["Sample", drawSample],
};
const DETAILS = {
  joint: ["joints", drawJoint], welder: ["welders", drawWelder], finding: ["findings", drawFinding], find: ["", drawFind],
  heat: ["things", drawThing("heat")], batch: ["things", drawThing("batch")], wps: ["things", drawThing("wps")], film: ["joints", drawFilm],
};

let turn = 0;

async function show(focus) {
  const hash = location.hash || "#start";
  const want = asked(hash);
  if (want.name === "content") { byId("content").focus(); return; }
  const [menu, draw] = VIEWS[want.name] ? [want.name, VIEWS[want.name][1]] : DETAILS[want.name] || ["start", drawStart];
  const own = (turn += 1);
  closeTables();
  for (const link of byId("views").querySelectorAll("a")) {
    if (link.dataset.view === menu) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  const page = el("div", { class: "page" });
  byId("content").replaceChildren(page);
  await draw(page, want);
  if (own !== turn) return;
  const title = page.querySelector("h1");
  document.title = `${title ? title.textContent : "Review"} · ${core.project}`;
  if (focus && title) { title.focus({ preventScroll: true }); window.scrollTo(0, 0); }
  document.documentElement.dataset.shown = hash;
}

function dress() {
  byId("project").textContent = core.project;
  byId("told").textContent = `${core.title}, records to ${core.as_of}`;
  byId("foot").textContent = `Made by dossier ${core.tool}. It supports the decision of a qualified welding engineer and never replaces it.`;
  byId("views").replaceChildren(...Object.entries(VIEWS).map(([name, [title]]) => el("li", null, el("a", { href: `#${name}`, "data-view": name }, title))));
  byId("find").addEventListener("submit", (event) => {
    event.preventDefault();
    const text = byId("finder").value.trim();
    if (!text) return;
    const exact = rowsOf(text).length ? "joint" : "find";
    location.hash = address(exact, text);
  });
  byId("colours").addEventListener("change", (event) => {
    if (event.target.value) document.documentElement.dataset.colours = event.target.value;
    else delete document.documentElement.dataset.colours;
  });
}

// Where a server watches the records, it is asked whether they have changed.
function watch() {
  const mark = document.querySelector("meta[name=live]").content;
  if (!mark) return;
  setInterval(async () => {
    try {
      const reply = await fetch("state", { cache: "no-store" });
      const told = await reply.json();
      if (told.mark !== mark) location.reload();
      else if (told.fault) say(told.fault);
    } catch {
      say("The server does not answer; the page shows what it last knew.");
    }
  }, 2000);
}

async function start() {
  try {
    begin(await open("data-core"));
  } catch {
    byId("waiting").textContent = "The records in this page cannot be opened: the file is damaged, or the browser is older than 2023.";
    return;
  }
  dress();
  window.addEventListener("hashchange", () => show(true));
  await show(false);
  document.documentElement.dataset.ready = "yes";
  if (window.requestIdleCallback) requestIdleCallback(gatherHay, { timeout: 500 });
  else setTimeout(gatherHay, 100);
  watch();
}

start();
