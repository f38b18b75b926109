// The page at work: time, keys, fingers, marks.

(async function () {
  const get = (id) => document.getElementById(id);
  const facts = JSON.parse(get("facts").textContent);
  const trouble = (why) => {
    get("trouble").hidden = false;
    get("trouble").textContent = "The picture can not be drawn: " + why + ". Text, findings and extents stand beside it.";
  };
  let film, path, text;
  try {
    const [a, b, c] = await Promise.all(["film-data", "path-data", "text-data"].map(unpacked));
    film = new Film(facts, a);
    path = new Path(b);
    text = new TextDecoder().decode(c);
  } catch (error) { trouble(error.message); return; }
  const whole = Math.max(facts.seconds, 0.001);
  let scene = null;
  try { scene = new Scene(get("canvas"), facts, film, path); } catch (error) { trouble(error.message); }
  let now = whole, playing = false, waiting = false, last = 0;
  const goLine = (line) => { goPoint(path.ofLine(line)); };
  const lines = new Lines(text, facts.findings, goLine);

  function goPoint(point) { stop(); set(path.time[Math.max(point, 0)] / 1000); }

  function set(seconds) {
    now = Math.min(Math.max(seconds, 0), whole);
    get("time").value = now / whole * 1000;
    paint();
  }

  function paint() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; render(); });
  }

  const clock = (s) => {
    const [m, r] = [Math.floor(s / 60), Math.floor(s % 60)];
    return m + ":" + String(r).padStart(2, "0");
  };
  const inches = facts.unit === "in";
  const length = (mm) => inches ? (mm / 25.4).toFixed(3) : mm.toFixed(2);

  function render() {
    if (film.go(Math.floor(now / whole * facts.field.frames + 1e-9)) && scene) scene.stockChanged();
    const point = path.count ? path.at(now * 1000 + 0.5) : -1;
    let tip = null, traverse = false;
    if (point >= 0) {
      const from = [0, 1, 2].map((k) => path.points[3 * point + k]);
      const next = Math.min(point + 1, path.count - 1);
      const span = path.time[next] - path.time[point];
      const share = span > 0 ? Math.min(Math.max((now * 1000 - path.time[point]) / span, 0), 1) : 0;
      tip = from.map((v, k) => v + share * (path.points[3 * next + k] - v));
      const going = share > 0 ? next : point;
      traverse = path.traverse[going] === 1;
      lines.show(path.line[going]);
      const cutter = facts.cutters[path.cutter[going]];
      get("place").textContent = "line " + path.line[going] + "   X " + length(tip[0]) + "   Y " + length(tip[1]) + "   Z " + length(tip[2]) + " " + facts.unit +
        (cutter ? "   cutter " + cutter.number + (cutter.name ? ", " + cutter.name : "") : "") +
        (traverse ? "   traverse" : path.load[going] ? "   takes " + path.load[going] + " % of a full pass" : "");
      if (scene) scene.draw(tip, path.cutter[going], point);
    } else if (scene) scene.draw(null, 0, -1);
    get("clock").textContent = clock(now) + " of " + clock(whole);
    document.body.dataset.time = now.toFixed(3);
  }

  function stop() { playing = false; get("play").textContent = "Play"; }

  function play() {
    if (playing) return stop();
    if (now >= whole - 1e-6) now = 0;
    playing = true;
    get("play").textContent = "Pause";
    last = performance.now();
    const tick = (stamp) => {
      if (!playing) return;
      set(now + (stamp - last) / 1000 * Number(get("speed").value));
      last = stamp;
      if (now >= whole) stop(); else requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  }

  function element(name, kind, words) {
    const e = document.createElement(name);
    e.className = kind;
    e.textContent = words || "";
    return e;
  }

  function key() {
    const box = get("key");
    box.replaceChildren();
    const add = (html) => { const row = document.createElement("div"); row.append(...html); box.append(row); return row; };
    const by = get("colour").value;
    if (by === "cutter") {
      facts.cutters.forEach((c, i) => {
        const swatch = element("span", "swatch");
        swatch.style.background = PALETTE[i % 8];
        add([swatch, element("span", "", "cutter " + c.number + (c.name ? ", " + c.name : ""))]).className = "row";
      });
      return;
    }
    const ramp = element("div", "ramp");
    ramp.style.background = "linear-gradient(to right," + RAMP.join(",") + ")";
    const ends = element("div", "ends");
    const low = scene ? scene.lowest : facts.stock[2];
    const [a, b] = by === "depth" ? ["Z " + length(low), "Z " + length(facts.stock[5]) + " " + facts.unit] : ["0", "200 % of a full pass"];
    ends.append(element("span", "", a), element("span", "", b));
    add([ramp]); add([ends]);
  }

  const marks = get("marks"), list = get("finding-list");
  for (const finding of facts.findings) {
    const item = document.createElement("li"), button = document.createElement("button");
    const kind = finding.refusal ? "refusal" : "caution";
    button.type = "button";
    button.className = kind;
    const small = (text) => element("small", "", text);
    const heading = (finding.refusal ? "Refused, " : "Caution, ") + "line " + finding.line + ", " + finding.interlock + ": ";
    button.append(heading + finding.message, small(finding.help));
    if (finding.more) {
      const lines = finding.more === 1 ? " more line" : " more lines";
      button.append(small("The same on " + finding.more + lines + ", up to line " + finding.last + "."));
    }
    button.addEventListener("click", () => goLine(finding.line));
    item.append(button);
    list.append(item);
    if (path.count) {
      const mark = document.createElement("i");
      mark.className = kind;
      mark.style.left = path.time[path.ofLine(finding.line)] / 1000 / whole * 100 + "%";
      marks.append(mark);
    }
  }
  if (facts.unlisted) list.append(element("li", "", facts.unlisted + " more are not listed."));
  if (!facts.findings.length) list.append(Object.assign(document.createElement("li"), { textContent: "None." }));

  get("time").addEventListener("input", (event) => { stop(); set(event.target.value / 1000 * whole); });
  get("play").addEventListener("click", play);
  get("colour").addEventListener("change", (event) => {
    if (scene) scene.colour = ["depth", "cutter", "load"].indexOf(event.target.value);
    key(); paint();
  });
  get("show-path").addEventListener("change", (event) => { if (scene) scene.showPath = event.target.checked; paint(); });
  const look = (from) => { if (scene) scene.look(from); paint(); };
  for (const from of ["corner", "above", "front"]) get("look-" + from).addEventListener("click", () => look(from));

  document.addEventListener("keydown", (event) => {
    if (event.target.matches("select, input[type=checkbox], #lines, summary")) return;
    if (event.target.matches("button") && (event.key === " " || event.key === "Enter")) return;
    const point = path.count ? path.at(now * 1000 + 0.5) : 0;
    const line = path.line[point] || 1;
    const act = {
      " ": play,
      ArrowRight: () => goLine(line + 1),
      ArrowLeft: () => goPoint(path.ofLine(line) > 0 ? path.ofLine(path.line[path.ofLine(line) - 1]) : 0),
      Home: () => { stop(); set(0); },
      End: () => { stop(); set(whole); },
      "+": () => nearer(0.85), "=": () => nearer(0.85), "-": () => nearer(1.18),
      1: () => look("corner"), 2: () => look("above"), 3: () => look("front"),
    }[event.key];
    if (act) { event.preventDefault(); act(); }
  });

  function nearer(by) { if (scene) scene.distance = Math.min(Math.max(scene.distance * by, 2), 1e5); paint(); }

  function pan(dx, dy) {
    const step = scene.distance / Math.max(scene.canvas.clientHeight, 1);
    for (let i = 0; i < 3; i++) scene.target[i] -= (scene.right[i] * dx - scene.up[i] * dy) * step;
  }

  if (scene) {
    const canvas = scene.canvas, fingers = new Map();
    canvas.addEventListener("pointerdown", (event) => { canvas.setPointerCapture(event.pointerId); fingers.set(event.pointerId, [event.clientX, event.clientY]); });
    for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, (event) => fingers.delete(event.pointerId));
    canvas.addEventListener("pointermove", (event) => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const [dx, dy] = [event.clientX - before[0], event.clientY - before[1]];
      const spread = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); };
      if (fingers.size === 2) {
        const old = spread();
        fingers.set(event.pointerId, [event.clientX, event.clientY]);
        scene.distance *= old / Math.max(spread(), 1);
        pan(dx / 2, dy / 2);
      } else {
        fingers.set(event.pointerId, [event.clientX, event.clientY]);
        if (event.shiftKey || event.buttons > 1) pan(dx, dy);
        else {
          scene.turn -= dx * 0.008;
          scene.tilt = Math.min(Math.max(scene.tilt + dy * 0.008, -0.2), Math.PI / 2 - 0.001);
        }
      }
      paint();
    });
    canvas.addEventListener("wheel", (event) => { event.preventDefault(); nearer(Math.exp(event.deltaY * 0.0012)); }, { passive: false });
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
    new ResizeObserver(paint).observe(canvas);
  }
  const open = document.getElementById("relief-open"), large = document.getElementById("large");
  if (open) {
    open.addEventListener("click", () => {
      // One copy of the picture serves both sizes.
      if (!large.firstChild) large.append(open.firstElementChild.cloneNode());
      large.showModal();
    });
    large.addEventListener("click", () => large.close());
  }

  key();
  set(whole);
  document.body.dataset.ready = "yes";
})();
