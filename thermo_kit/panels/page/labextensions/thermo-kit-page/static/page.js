// A page of the workbook as a learner meets it: one bar that starts it and says how it stands, no code in sight,
// and no key that changes a cell. JupyterLab loads this file as it is; nothing is built.
"use strict";
(() => {
  const NAME = "thermo-kit-page";
  const SHOW_CODE = "thermo-kit-show-code";
  const SAY = {
    asleep: ["Start this page", "Read on, or start the page to use its panels."],
    starting: ["Starting …", "The page is starting. This takes about ten seconds the first time."],
    running: ["", ""],
    gone: ["Start this page again", "The page has gone to sleep. Your answers are kept: start it again to go on."],
    failed: ["Start this page again", "Part of the page did not start. Start it again; if that does not help, tell your instructor."],
  };
  let shared = {};

  async function load(name) {
    const versions = shared[name];
    return (await versions[Object.keys(versions)[0]].get())();
  }

  function isOurs(panel) {
    const told = panel.content.model?.getMetadata?.("thermo_kit");
    return Boolean(told);
  }

  // Keys that belong to the page itself; all others reach the control they were typed into and nothing else.
  function reachesJupyter(event) {
    // All of the text, not all cells.
    if ((event.ctrlKey || event.metaKey) && event.key === "a" && !event.target.closest(".cm-editor")) return false;
    if (event.ctrlKey || event.metaKey || event.altKey) return true;
    if (event.target.closest(".cm-editor, .jp-Toolbar, .lm-Menu")) return true;
    return event.key === "F1" || (event.key === "Enter" && event.shiftKey);
  }

  function guard(panel) {
    const node = panel.content.node;
    // Before the widget library, which lets no key of a text box out.
    node.addEventListener("keydown", practise, true);
    node.addEventListener("keydown", event => { if (!showsCode() && !reachesJupyter(event)) event.stopPropagation(); });
    // Enter in the only box of a question hands the answer in.
    node.addEventListener("keyup", event => {
      if (event.key === "Tab") showPicture(event.target);
      const asked = event.key === "Enter" && event.target.matches?.("input[type=text]") && event.target.closest(".thermo-kit-course");
      if (asked && asked.querySelectorAll("input[type=text]").length === 1 && !asked.querySelector(".tk-panel, input[type=radio]")) {
        asked.querySelector("button:not(:disabled)")?.click();
      }
    });
    addEventListener("pagehide", () => enter(document.activeElement));
    node.addEventListener("dblclick", event => { if (!showsCode()) event.stopPropagation(); }, true);
  }

  // What was typed reaches the kernel when a box is left; so it is left before a button is pressed, and with the page.
  function enter(box) {
    box?.dispatchEvent(new Event("change", { bubbles: true }));
  }

  // Who comes by Tab sees the whole picture that a control moves, where there is room for both.
  function showPicture(control) {
    const pictures = control.closest(".tk-panel")?.querySelector(".tk-pictures");
    const page = control.closest(".jp-WindowedPanel-outer");
    if (!pictures || !page) return;
    const box = node => node.getBoundingClientRect();
    const hidden = box(pictures).bottom - box(page).bottom;
    const top = box(control.closest(".tk-control") ?? control).top;
    // On a narrow page the picture is held above its controls, and over those that have scrolled up.
    const held = getComputedStyle(pictures).position === "sticky" ? box(pictures).bottom - top : 0;
    if (held > 0) page.scrollTop -= held + 8;
    else page.scrollTop += Math.max(0, Math.min(hidden, Math.min(box(pictures).top, top) - box(page).top) + 8);
  }

  // Practice by keys alone: a digit chooses, Enter checks and then goes on.
  function practise(event) {
    const box = event.target.closest(".tk-practice:has(.tk-entry)");
    if (!box || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    const writing = event.target.type === "text";
    const option = writing ? null : box.querySelectorAll(".tk-entry input[type=radio]")[Number(event.key) - 1];
    if (option) { option.focus(); option.click(); }
    else if (event.key !== "Enter" || event.target.tagName === "BUTTON") return;
    else { enter(event.target); box.querySelector("button.tk-go").click(); }
    event.preventDefault();
  }

  // Each question begins at its first control, and what comes after the last one at its button.
  function meet(box) {
    const first = box.querySelector(".tk-entry input");
    if (first && !first.dataset.met) { first.dataset.met = "yes"; first.focus(); }
    if (!first && document.activeElement === document.body) box.querySelector("button.tk-go")?.focus();
  }

  // What every panel needs loads while the learner reads. A kernel that cannot do that says so when the page is started.
  async function makeReady(panel) {
    await panel.sessionContext.ready;
    const code = "from thermo_kit.panels.ready import load; load(); del load";
    await panel.sessionContext.session?.kernel?.requestExecute({ code, silent: true, store_history: false }).done;
    panel.node.dataset.ready = "yes";
  }

  const showsCode = () => localStorage.getItem(SHOW_CODE) === "yes";

  // A single page needs no list of files, kernels and extensions at its sides.
  function clearSides(app) {
    for (const side of ["left", "right"]) {
      const bar = document.querySelector(`.jp-SideBar.jp-mod-${side}`);
      if (app.shell.mode === "single-document" && bar && bar.getBoundingClientRect().width > 0) {
        app.commands.execute("application:toggle-side-tabbar", { side });
      }
    }
  }

  function makeBar(panel, Widget, Notebook) {
    const bar = new Widget();
    bar.addClass("tk-bar");
    bar.node.setAttribute("role", "region");
    bar.node.setAttribute("aria-label", "This page");
    bar.node.innerHTML = '<button type="button" class="tk-start"></button><span class="tk-say" role="status"></span>'
      + '<button type="button" class="tk-print">Print</button><button type="button" class="tk-code"></button>';
    const [start, say, print, code] = bar.node.children;
    let state = "";

    function become(next) {
      if (state === next) return;
      state = next;
      const [button, words] = SAY[state];
      start.textContent = button;
      start.hidden = !button;
      start.disabled = state === "starting";
      say.textContent = words;
      for (const one of Object.keys(SAY)) panel.toggleClass(`tk-${one}`, one === state);
      // What had the focus is out of sight now.
      if (state === "gone") start.focus();
      fit();
    }

    // JupyterLab gives the bar its least height: that of what stands in it, in as many rows as its width asks for.
    function fit() {
      const { style } = bar.node;
      const { height, contain } = style;
      Object.assign(style, { minHeight: "", height: "auto", contain: "none" });
      const needed = bar.node.offsetHeight;
      Object.assign(style, { minHeight: `${needed}px`, height, contain });
      bar.parent?.fit();
    }

    function showCode() {
      panel.toggleClass("tk-learner", !showsCode());
      panel.toolbar.setHidden(!showsCode());
      for (const cell of panel.content.widgets) {
        cell.readOnly = !showsCode();
        if (cell.model.type === "code") cell.inputHidden = !showsCode();
      }
      code.textContent = showsCode() ? "Hide the code" : "Show the code";
    }

    async function run() {
      if (state === "starting") return;
      become("starting");
      // Who reads on, or writes, while the page starts is left there.
      const goesOn = new AbortController();
      const top = () => { if (!goesOn.signal.aborted) { notebook.activeCellIndex = 0; scroller().scrollTop = 0; } };
      for (const event of ["wheel", "pointerdown", "keydown"]) {
        panel.content.node.addEventListener(event, () => goesOn.abort(), { capture: true, once: true, passive: true, signal: goesOn.signal });
      }
      const notebook = panel.content;
      const scroller = () => notebook.node.querySelector(".jp-WindowedPanel-outer") || notebook.node;
      await panel.sessionContext.ready;
      const context = panel.sessionContext;
      const kernel = () => context.session?.kernel;
      // Without a kernel, running would empty the page.
      if (!kernel()) await context.changeKernel({ name: context.prevKernelName || context.kernelPreference.name }).catch(() => {});
      if (!kernel()) return become("failed");
      const hold = setInterval(top, 60);
      let good = false;
      try { good = await Notebook.NotebookActions.runAll(notebook, panel.sessionContext); } finally { clearInterval(hold); }
      top();
      become(good ? "running" : "failed");
      const first = notebook.node.querySelector(".jp-OutputArea-output :is(select, input, button):not(:disabled)");
      // Unless the learner went on meanwhile.
      if (!goesOn.signal.aborted) first?.focus({ preventScroll: true });
      goesOn.abort();
    }

    start.addEventListener("click", run);
    print.addEventListener("click", () => window.print());
    code.addEventListener("click", () => { localStorage.setItem(SHOW_CODE, showsCode() ? "no" : "yes"); showCode(); });
    panel.sessionContext.statusChanged.connect((_context, status) => {
      if (["restarting", "autorestarting", "terminating", "dead"].includes(status) && state === "running") become("gone");
    });
    panel.sessionContext.kernelChanged.connect((_context, change) => {
      if (state === "running" && change.oldValue) become("gone");
    });
    // Cells may also be run through the menu.
    Notebook.NotebookActions.executed.connect((_actions, done) => {
      if (done.notebook === panel.content && (state === "asleep" || state === "gone")) become("running");
    });
    panel.tkStart = run;
    become(isAlive(panel) ? "running" : "asleep");
    // A page that was saved while running, opened beside the same kernel, wakes by itself a little later.
    setTimeout(() => { if (state === "asleep" && isAlive(panel)) become("running"); }, 4000);
    showCode();
    panel.contentHeader.addWidget(bar);
    new ResizeObserver(fit).observe(bar.node);
  }

  // What the widget library leaves unsaid: sliders have the name and value of the box beside them, radio buttons are one
  // group, a refused entry is marked as such and tied to its reason, a fold says whether it is open.
  let counted = 0;

  function set(node, name, value) {
    if (node && node.getAttribute(name) !== value) node.setAttribute(name, value);
  }

  function say(root) {
    for (const control of root.querySelectorAll(".tk-control")) {
      const label = control.querySelector(".tk-box > label")?.textContent || "";
      const box = control.querySelector(".tk-box > input, .tk-box > select, .tk-box > textarea");
      const handle = control.querySelector(".noUi-handle");
      if (handle) { set(handle, "aria-label", label); set(handle, "aria-valuetext", `${box.value} ${label.split(" in ").pop()}`); }
      const bad = control.querySelector(".tk-complaint");
      if (bad && !bad.id) bad.id = `tk-complaint-${++counted}`;
      set(box, "aria-invalid", bad ? "true" : "false");
      if (box) bad ? set(box, "aria-describedby", bad.id) : box.removeAttribute("aria-describedby");
    }
    // JupyterLab makes a stop of the cell it holds active, which a learner cannot see.
    if (!showsCode()) root.querySelectorAll(".jp-Cell[tabindex='0']").forEach(cell => set(cell, "tabindex", "-1"));
    for (const group of root.querySelectorAll(".widget-radio-box")) {
      const inputs = group.querySelectorAll("input[type=radio]");
      if (!inputs.length) continue;
      if (!inputs[0].name) { const name = `tk-radio-${++counted}`; inputs.forEach(one => { one.name = name; }); }
      set(group, "role", "radiogroup");
      const label = group.parentElement.querySelector("label.widget-label")?.textContent;
      if (label) set(group, "aria-label", label);
    }
    // A picture higher than its window is scrolled by keys, too.
    for (const pictures of root.querySelectorAll(".tk-pictures")) {
      if (pictures.scrollHeight > pictures.clientHeight + 1) set(pictures, "tabindex", "0");
      else pictures.removeAttribute("tabindex");
    }
    root.querySelectorAll(".tk-practice").forEach(meet);
    for (const more of root.querySelectorAll("button.tk-more")) {
      set(more, "aria-expanded", String(!more.nextElementSibling?.classList.contains("tk-folded")));
    }
  }

  // What a lesson tells in prose, questions and finished tables follows the units and the decimal sign that were chosen,
  // as the switch last told them: a US unit in brackets behind each amount that stands there in SI alone.
  const LOOK = "thermo-kit-look";
  const AMOUNT = "[−-]?\\d[\\d,]*(?:\\.\\d+)?";
  // Paragraphs, tables and regulations keep their points.
  const NUMBER = /(?<![\p{L}\p{N}_.,-]|CFR |HI |, points? |, points [\d.]+ to |\bTable |\bNo\. )\d+(?:,\d{3})*(?:\.\d+)?(?![\p{L}\p{N}_.,]*\d)/gu;
  const ABSOLUTE_FROM = 150;
  const written = new WeakMap();
  let look = { units: {}, comma: false };
  let toldLook = "";
  let reworded = false;
  let units, labels;

  function hear(text) {
    if (!text || text === toldLook) return;
    toldLook = text;
    look = JSON.parse(text);
    localStorage.setItem(LOOK, text);
    const signs = Object.keys(look.units).sort((a, b) => b.length - a.length).map(sign => sign.replace(/[()/.]/g, "\\$&"));
    const known = signs.join("|") || "(?!)";
    units = new RegExp(`(?<!["“\\p{L}\\d.,/])(?:(${AMOUNT})( to | and | or |–))?(${AMOUNT})\\s(${known})(?![\\p{L}\\d/²³(]|(?: abs)?\\s*\\([^)]*\\d)`, "gu");
    labels = new RegExp(`\\((${known})\\)$`, "u");
  }

  function inUs(text, [factor, offset]) {
    const number = Number(text.replace("−", "-").replaceAll(",", "")) * factor + offset;
    const decimals = text.split(".")[1]?.length ?? 0;
    const digits = Math.max(2, text.replace(/^[−0.,-]+|[.,]/g, "").length);
    const rounded = Number(offset || Math.abs(number) >= 1000 ? number.toFixed(decimals) : number.toPrecision(digits)) + 0;
    return rounded.toLocaleString("en-US", { maximumFractionDigits: 5 }).replace("-", "−");
  }

  function reword(text, node) {
    if (!node.closest("svg")) {
      text = text.replace(units, (all, first, joint, last, sign) => {
        // So many kelvin are a temperature, not a difference.
        if (sign === "K" && Number(last.replaceAll(",", "")) >= ABSOLUTE_FROM) return all;
        const unit = look.units[sign];
        return `${all} (${first ? inUs(first, unit) + joint : ""}${inUs(last, unit)} ${unit[2]})`;
      });
      if (node.tagName === "LABEL") text = text.replace(labels, (all, sign) => `(${sign}, or write ${look.units[sign][2]})`);
    }
    // In a source they are paragraphs and pages.
    const told = look.comma && !/^Sources?[.:]/.test(node.closest("p, li")?.textContent ?? "");
    return told ? text.replace(NUMBER, all => all.replaceAll(",", "\u202f").replace(".", ",")) : text;
  }

  function retell(root) {
    hear(root.querySelector("[data-look]")?.dataset.look ?? localStorage.getItem(LOOK));
    reworded ||= look.comma || Object.keys(look.units).length > 0;
    if (!reworded) return;
    for (const box of root.querySelectorAll(".jp-MarkdownOutput, .jp-RenderedHTML, .thermo-kit-course")) {
      const words = document.createTreeWalker(box, NodeFilter.SHOW_TEXT);
      for (let node = words.nextNode(); node; node = words.nextNode()) {
        const known = written.get(node);
        if (known?.look === toldLook && known.told === node.nodeValue) continue;
        const source = known?.told === node.nodeValue ? known.source : node.nodeValue;
        if (!/\d|\(/.test(source) || node.parentElement.closest(".tk-panel, .tk-switch, code, pre, mjx-container, style")) continue;
        const told = reword(source, node.parentElement);
        if (told !== node.nodeValue) node.nodeValue = told;
        written.set(node, { look: toldLook, source, told });
      }
    }
  }

  function keepSaying(panel) {
    let waiting = false;
    const later = () => {
      if (waiting) return;
      waiting = true;
      // After the picture: names and values are not in a hurry.
      setTimeout(() => { waiting = false; say(panel.content.node); retell(panel.content.node); }, 120);
      // The number in a box may come after the slider that moved.
      setTimeout(() => say(panel.content.node), 700);
    };
    const watched = { childList: true, subtree: true, attributes: true, attributeFilter: ["aria-valuetext", "class", "data-look"] };
    new MutationObserver(later).observe(panel.content.node, watched);
    new ResizeObserver(later).observe(panel.content.node);
    later();
  }

  const isAlive = panel => Boolean(panel.content.node.querySelector(".tk-panel, .tk-switch, .tk-practice"));

  async function get() {
    const [Notebook, { Widget }] = [await load("@jupyterlab/notebook"), await load("@lumino/widgets")];
    const plugin = {
      id: `${NAME}:page`,
      autoStart: true,
      requires: [Notebook.INotebookTracker],
      activate: (app, tracker) => {
        const style = document.createElement("link");
        const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
        style.rel = "stylesheet";
        style.href = `${config.fullLabextensionsUrl}/${NAME}/static/page.css`;
        document.head.append(style);
        app.commands.addCommand("thermo-kit:start", {
          label: "Start this page",
          execute: () => tracker.currentWidget?.tkStart?.(),
        });
        const open = async panel => {
          await panel.context.ready;
          if (!isOurs(panel)) return;
          panel.addClass("tk-page");
          guard(panel);
          keepSaying(panel);
          makeBar(panel, Widget, Notebook);
          makeReady(panel);
          app.restored.then(() => clearSides(app));
          // JupyterLab puts the focus on the first cell a little later; with the keyboard one starts at the button.
          setTimeout(() => { if (panel.hasClass("tk-asleep")) panel.node.querySelector(".tk-start").focus(); }, 1500);
        };
        tracker.forEach(open);
        tracker.widgetAdded.connect((_tracker, panel) => open(panel));
      },
    };
    return () => ({ __esModule: true, default: plugin });
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB[NAME] = { init: scope => { shared = scope; }, get };
})();
