// Papers as tabs, switches for sizes, sheets to be enlarged, and a page that refreshes by itself. Without it all sheets are shown.
{
  const root = document.documentElement;
  const find = (id) => document.getElementById(id);
  const all = (which, within = document) => [...within.querySelectorAll(which)];
  const papers = all(".paper");
  const boxes = all("[data-size]");
  const viewer = find("viewer");
  const memory = `kitwright-proof:${root.dataset.kit}`;

  // What is kept while the page refreshes. A browser may forbid it to remember.
  const state = { paper: "", off: [], joined: false, grey: false, open: "", zoom: 1, scroll: 0, focus: "", fresh: false };
  const remember = () => {
    try {
      sessionStorage.setItem(memory, JSON.stringify(state));
    } catch {}
  };
  try {
    Object.assign(state, JSON.parse(sessionStorage.getItem(memory) ?? "{}"));
  } catch {}

  const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_, key) => values[key]);

  // Page numbers as ranges: 2-5, 8.
  const ranges = (pages) => {
    const runs = [];
    for (const page of pages) {
      const last = runs.at(-1);
      if (last && last[1] + 1 === page) last[1] = page;
      else runs.push([page, page]);
    }
    return runs.map(([from, to]) => (from === to ? `${from}` : `${from}-${to}`)).join(", ");
  };

  // Papers
  const tabs = papers.map((paper) => find(`tab-${paper.dataset.paper}`));
  const choose = (id) => {
    state.paper = papers.some((paper) => paper.dataset.paper === id) ? id : papers[0].dataset.paper;
    papers.forEach((paper, index) => {
      const on = paper.dataset.paper === state.paper;
      paper.hidden = !on;
      tabs[index].setAttribute("aria-selected", on);
      tabs[index].tabIndex = on ? 0 : -1;
    });
    remember();
  };
  const paperOf = (sheet) => sheet.closest(".paper").dataset.paper;

  // Sizes
  const show = () => {
    state.off = boxes.filter((box) => !box.checked).map((box) => box.dataset.size);
    boxes.forEach((box) => root.style.setProperty(`--s${box.dataset.size}`, box.checked ? "inline" : "none"));
    const some = state.off.length > 0;
    for (const paper of papers) {
      const sheets = all(".table .sheet", paper);
      const needed = (sheet) => !some || sheet.dataset.needs.split(" ").some((size) => size && !state.off.includes(size));
      const pages = [];
      for (const sheet of sheets) {
        const on = needed(sheet);
        if (on) pages.push(Number(sheet.dataset.page));
        sheet.classList.toggle("unneeded", !on);
        sheet.querySelector(".off").hidden = on;
      }
      const line = paper.querySelector(".needed");
      const words = line.dataset;
      const values = { count: pages.length, total: sheets.length };
      const pagesOf = `${pages.length === 1 ? words.page : words.pages} ${ranges(pages)}`;
      const whole = sheets.length === 1 ? words.one : words.all;
      const count = fill(pages.length === sheets.length ? whole : words.some, values);
      const text = pages.length ? `${count} · ${pagesOf}` : words.none;
      if (line.textContent !== text) line.textContent = text;
      line.hidden = false;
    }
    remember();
  };

  const look = () => {
    for (const table of all(".table")) {
      table.classList.toggle("joined", state.joined);
      all(":scope > .sheet > svg", table).forEach((svg) => svg.setAttribute("viewBox", state.joined ? table.dataset.tile : table.dataset.whole));
    }
    root.classList.toggle("grey", state.grey);
    remember();
  };

  // Neighbours: the nearest sheet straight up, left, right or down.
  const step = { up: [-1, 0], down: [1, 0], left: [0, -1], right: [0, 1] };
  const place = (sheet) => [Number(sheet.dataset.row), Number(sheet.dataset.column)];
  const neighbour = (sheet, way) => {
    if (!sheet.dataset.row) return null;
    const [row, column] = place(sheet);
    const [down, across] = step[way];
    const ahead = all(".table .sheet", sheet.closest(".paper")).map((other) => {
      const [r, c] = place(other);
      const straight = down ? c === column : r === row;
      return [straight ? (r - row) * down + (c - column) * across : 0, other];
    });
    return ahead.filter(([far]) => far > 0).sort((a, b) => a[0] - b[0])[0]?.[1] ?? null;
  };
  const WAYS = { ArrowUp: "up", ArrowDown: "down", ArrowLeft: "left", ArrowRight: "right" };

  // The sheet that Tab comes to.
  const rove = (sheet) => {
    if (!sheet.dataset.row) return;
    all(".sheet", sheet.parentElement).forEach((other) => (other.tabIndex = other === sheet ? 0 : -1));
  };

  // Enlarging
  const fit = () => {
    const stage = find("stage");
    const picture = stage.firstElementChild;
    if (!picture) return;
    const { paddingLeft, paddingTop } = getComputedStyle(stage);
    const [width, height] = [stage.clientWidth - 2 * parseFloat(paddingLeft), stage.clientHeight - 2 * parseFloat(paddingTop)];
    const { width: across, height: down } = picture.viewBox.baseVal;
    picture.style.width = `${state.zoom * Math.min(width, (height * across) / down)}px`;
  };
  const ZOOMS = [1, 1.5, 2, 3, 4, 6];
  const zoom = (to) => {
    state.zoom = ZOOMS.includes(to) ? to : 1;
    fit();
    find("stage").classList.toggle("near", state.zoom > 1);
    find("zoom").textContent = state.zoom === 1 ? find("zoom").dataset.fit : `${state.zoom * 100} %`;
    find("smaller").disabled = state.zoom === ZOOMS[0];
    find("larger").disabled = state.zoom === ZOOMS.at(-1);
    remember();
  };
  const nearer = (by) => zoom(ZOOMS[ZOOMS.indexOf(state.zoom) + by] ?? state.zoom);
  const enlarge = (sheet) => {
    const about = find(`about-${sheet.id}`);
    if (paperOf(sheet) !== state.paper) choose(paperOf(sheet));
    state.open = sheet.id;
    const picture = sheet.querySelector("svg").cloneNode(true);
    picture.setAttribute("viewBox", sheet.closest(".paper").querySelector(".table").dataset.whole);
    find("stage").replaceChildren(picture);
    find("viewer-title").textContent = about.dataset.title;
    find("viewer-line").textContent = about.dataset.line;
    find("viewer-about").replaceChildren(...[...about.children].map((child) => child.cloneNode(true)));
    find("viewer-off").hidden = !sheet.classList.contains("unneeded");
    for (const button of all("[data-way]", viewer)) {
      const next = neighbour(sheet, button.dataset.way);
      button.disabled = !next;
      button.querySelector(".to").textContent = next ? find(`about-${next.id}`).dataset.title.split(" ").at(-1) : "–";
    }
    if (!viewer.open) viewer.showModal();
    find("stage").scrollTo(0, 0);
    zoom(state.zoom);
    rove(sheet);
  };
  const walk = (way) => {
    const next = neighbour(find(state.open), way);
    if (next) enlarge(next);
  };

  if (papers.length) {
    tabs.forEach((tab, index) => {
      tab.addEventListener("click", () => choose(papers[index].dataset.paper));
      tab.addEventListener("keydown", (event) => {
        const to = { ArrowRight: index + 1, ArrowLeft: index - 1, Home: 0, End: tabs.length - 1 }[event.key];
        if (to === undefined) return;
        event.preventDefault();
        const next = (to + tabs.length) % tabs.length;
        choose(papers[next].dataset.paper);
        tabs[next].focus();
      });
    });
    papers.forEach((paper, index) => {
      paper.setAttribute("role", "tabpanel");
      paper.setAttribute("aria-labelledby", tabs[index].id);
    });
    find("tabs").hidden = papers.length < 2;
    find("switches").hidden = false;

    boxes.forEach((box) => {
      box.checked = !state.off.includes(box.dataset.size);
      box.addEventListener("change", show);
    });
    const every = (on) => () => {
      boxes.forEach((box) => (box.checked = on));
      show();
    };
    find("all")?.addEventListener("click", every(true));
    find("none")?.addEventListener("click", every(false));
    for (const what of ["joined", "grey"]) {
      find(what).checked = state[what];
      find(what).addEventListener("change", () => {
        state[what] = find(what).checked;
        look();
      });
    }

    for (const sheet of all(".sheet")) {
      sheet.addEventListener("click", () => enlarge(sheet));
      sheet.addEventListener("keydown", (event) => {
        const next = WAYS[event.key] && neighbour(sheet, WAYS[event.key]);
        if (!next) return;
        event.preventDefault();
        rove(next);
        next.focus();
      });
    }
    for (const link of all("[data-opens]")) {
      link.addEventListener("click", (event) => {
        event.preventDefault();
        enlarge(find(link.dataset.opens));
      });
    }

    all("[data-way]", viewer).forEach((button) => button.addEventListener("click", () => walk(button.dataset.way)));
    find("smaller").addEventListener("click", () => nearer(-1));
    find("larger").addEventListener("click", () => nearer(1));
    find("close").addEventListener("click", () => viewer.close());
    find("stage").addEventListener("dblclick", () => zoom(state.zoom === 1 ? 3 : 1));
    viewer.addEventListener("click", (event) => event.target === viewer && viewer.close());
    viewer.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      // In a picture that is larger than its frame the arrows move the picture, as everywhere.
      const moves = state.zoom > 1 && document.activeElement === find("stage");
      if (WAYS[event.key] && !moves) walk(WAYS[event.key]);
      else if (["+", "="].includes(event.key)) nearer(1);
      else if (event.key === "-") nearer(-1);
      else if (event.key === "0") zoom(1);
      else return;
      event.preventDefault();
    });
    addEventListener("resize", fit);
    viewer.addEventListener("close", () => {
      const sheet = find(state.open);
      state.open = "";
      remember();
      sheet?.focus();
    });

    choose(state.paper);
    show();
    look();
  }

  // Refreshing: the page says its version, the server tells when there is another.
  if ("live" in root.dataset) {
    const follow = find("follow");
    const say = (what) => {
      if (follow.dataset.state === what) return;
      follow.dataset.state = what;
      // After a refresh those who do not see the page hear what has become of the kit.
      const news = state.fresh ? `${follow.dataset.fresh} ${document.querySelector(".says").textContent}. ` : "";
      follow.textContent = news + follow.dataset[what];
      state.fresh = false;
    };
    const events = new EventSource("events");
    events.addEventListener("message", (event) => {
      if (event.data === root.dataset.version) return say("follows");
      Object.assign(state, { scroll: scrollY, fresh: true });
      state.focus = viewer?.open ? "" : (document.activeElement?.id ?? "");
      remember();
      location.reload();
    });
    events.addEventListener("works", () => say("works"));
    events.addEventListener("error", () => say("lost"));
    if (state.focus) find(state.focus)?.focus({ preventScroll: true });
    history.scrollRestoration = "manual";
    scrollTo({ top: state.scroll, behavior: "instant" });
    addEventListener("scroll", () => (state.scroll = scrollY), { passive: true });
    addEventListener("pagehide", remember);
    if (state.open && find(state.open)) enlarge(find(state.open));
  }
}
