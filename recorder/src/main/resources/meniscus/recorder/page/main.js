// Starts the page: the line to the program, and which of its pages is shown.

import {button, el, say, waiting} from "./build.js";
import {ChargeBar} from "./charge.js";
import {Cues} from "./cues.js";
import {ask, Live} from "./live.js";
import {Start} from "./start.js";
import {TryOut} from "./try-out.js";

const main = document.getElementById("main");
const live = new Live();
const cues = new Cues(document.getElementById("sound"), document.getElementById("flash"));
const start = new Start(live);
new TryOut(document.getElementById("try-out"), live);
const bar = new ChargeBar(document.getElementById("charge"), live);

/** What the first screen does not need is fetched once it stands, or when it is asked for before. */
const LATER = {
  capture: once(async () => new (await import("./capture.js")).Capture(live, cues)),
  tests: once(async () => new (await import("./tests.js")).Tests(live)),
  change: once(() => import("./change.js")),
  report: once(() => import("./report.js")),
  setUp: once(async () => new (await import("./set-up.js")).SetUp(live)),
};

function once(make) {
  let made;
  return () => made ??= make().catch((error) => {
    made = undefined; // asked for again when the program answers
    throw error;
  });
}

/** Each page of the address, and what it shows; capture without a test is the first screen. */
const PAGES = {
  tests: async () => (await LATER.tests()).list(),
  test: async (rest) => (await LATER.tests()).one(decodeURIComponent(rest)),
  change: async (rest) => (await LATER.change()).changePage(new URLSearchParams(rest)),
  report: async (rest) => (await LATER.report()).reportPage(new URLSearchParams(rest)),
  "set-up": async (rest) => (await LATER.setUp()).open(rest),
  capture: async () => (await LATER.capture()).node,
};

async function fetchAll() {
  for (const one of Object.values(LATER)) {
    await one();
  }
}

/** What is to be shown: an answer that was overtaken is not. */
let opening = null;

function route() {
  const [page, rest] = (location.hash.slice(1) || "capture").split(/\/(.*)/s);
  for (const link of document.querySelectorAll(".top nav a")) {
    const here = link.hash === `#${page}` || (link.hash === "#tests" && ["test", "change", "report"].includes(page));
    here ? link.setAttribute("aria-current", "page") : link.removeAttribute("aria-current");
  }
  document.body.dataset.page = page;
  bar.show(live.whole, page === "capture" && live.whole.running);
  document.title = `Meniscus: ${page === "test" ? rest : page}`;
  const open = PAGES[page] ?? PAGES.capture;
  const first = open === PAGES.capture && !live.whole.running;
  const shown = first ? Promise.resolve(start.node) : open(rest ?? "");
  main.replaceChildren(first ? start.node : waiting("On its way…", shown));
  opening = shown;
  shown.then((node) => opening === shown && main.firstChild !== node && main.replaceChildren(node),
    () => opening === shown && main.replaceChildren(el("p", {class: "fault", role: "alert"}, "Not shown: the program does not answer.")));
}

function subject(whole) {
  const test = whole.test;
  const text = test ? [test.name, test.plan.head, test.plan.port].filter(Boolean).join(" · ") : whole.bench?.name ?? "";
  say(document.getElementById("subject"), text);
}

/** Guests who ask for charge, and those who have been given it. */
function guests(whole) {
  const list = whole.guests ?? [];
  const node = document.getElementById("guests");
  node.hidden = !list.length;
  const answer = (guest, may) => () => ask("/api/guests", {client: live.client, guest, may_command: may}).catch((error) => alert(error.message));
  node.replaceChildren(...list.map((one) => el("p", {class: "line"}, one.asks ? `The guest at ${one.from} asks for charge.` : `The guest at ${one.from} may take charge.`,
    one.asks ? button("Allow", answer(one.guest, true), {class: "keep"}) : "", button(one.asks ? "No" : "Take it back", answer(one.guest, false)))));
}

function linked(on) {
  const node = document.getElementById("link");
  say(node, on ? "● live" : live.whole.over ? "▲ ended" : "▲ no connection");
  node.classList.toggle("bad", !on);
}

/** A switch that a pointer does not leave focused: the pedal's key must not press it again. */
function pressed(id, act) {
  const node = document.getElementById(id);
  node.addEventListener("click", (event) => {
    act(node);
    if (event.detail > 0) {
      node.blur();
    }
  });
  return node;
}

/** Full screen, buttons for gloves, and on a narrow screen the menu that holds them. */
function switches() {
  const top = document.querySelector(".top");
  const menu = pressed("extras", () => menu.setAttribute("aria-expanded", String(top.classList.toggle("open"))));
  const root = document.documentElement;
  const full = pressed("full", () => (document.fullscreenElement ? document.exitFullscreen() : root.requestFullscreen()).catch(() => {}));
  full.hidden = !document.fullscreenEnabled;
  document.addEventListener("fullscreenchange", () => full.setAttribute("aria-pressed", String(Boolean(document.fullscreenElement))));
  const show = () => gloves.setAttribute("aria-pressed", root.dataset.hands === "gloves");
  const gloves = pressed("gloves", () => {
    root.dataset.hands = root.dataset.hands === "gloves" ? "bare" : "gloves";
    localStorage.setItem("meniscus-hands", root.dataset.hands);
    show();
  });
  root.dataset.hands = localStorage.getItem("meniscus-hands") ?? "bare";
  show();
}

function themes() {
  const kept = localStorage.getItem("meniscus-theme");
  if (kept) {
    document.documentElement.dataset.theme = kept;
  }
  const node = document.getElementById("theme");
  node.addEventListener("click", (event) => {
    const dark = getComputedStyle(document.documentElement).colorScheme.includes("dark");
    document.documentElement.dataset.theme = dark ? "light" : "dark";
    localStorage.setItem("meniscus-theme", document.documentElement.dataset.theme);
    LATER.capture().then((capture) => capture.trace.plan());
    if (event.detail > 0) {
      node.blur();
    }
  });
}

let ran = false;
live.on("whole", (whole) => {
  subject(whole);
  guests(whole);
  bar.show(whole, document.body.dataset.page === "capture" && whole.running);
  if (whole.running !== ran || !main.firstChild) {
    ran = whole.running;
    // A test that starts or ends changes the capture page only; what is read elsewhere stays.
    if (!main.firstChild || ["", "#capture"].includes(location.hash)) {
      main.replaceChildren();
      route();
    }
  }
});
live.on("link", linked);
addEventListener("hashchange", () => {
  main.replaceChildren();
  route();
  main.focus({preventScroll: true});
});
live.on("link", (on) => on && (window.requestIdleCallback ?? setTimeout)(() => fetchAll().catch(() => {})));
themes();
switches();
live.start().catch((error) => {
  main.replaceChildren(el("p", {class: "fault", role: "alert"}, `The program cannot be reached: ${error.message}`));
  live.again();
});
