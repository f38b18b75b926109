// The program's text beside the picture: only the rows in sight are made.

class Lines {
  constructor(text, findings, choose) {
    this.all = text.split(/\r\n|\n|\r/);
    this.found = new Set(findings.map((f) => f.line));
    this.box = document.getElementById("lines");
    this.rows = document.getElementById("rows");
    this.now = 0;
    this.height = 20;
    // Browsers stop at some millions of pixels: beyond that rows are spread by share.
    this.whole = Math.min(this.all.length * this.height, 8e6);
    document.getElementById("spacer").style.height = this.whole + "px";
    this.box.addEventListener("scroll", () => this.draw());
    new ResizeObserver(() => this.draw()).observe(this.box);
    this.rows.addEventListener("click", (event) => {
      const row = event.target.closest("[data-line]");
      if (row) choose(Number(row.dataset.line));
    });
  }

  first() {
    const room = Math.max(this.whole - this.box.clientHeight, 1);
    const most = Math.max(this.all.length - Math.floor(this.box.clientHeight / this.height), 0);
    return Math.round(this.box.scrollTop / room * most) || 0;
  }

  show(line) {
    if (line === this.now) return;
    this.now = line;
    const inSight = Math.floor(this.box.clientHeight / this.height);
    const first = this.first();
    if (line - 1 < first + 1 || line - 1 > first + inSight - 3) {
      const most = Math.max(this.all.length - inSight, 1);
      const room = Math.max(this.whole - this.box.clientHeight, 0);
      this.box.scrollTop = Math.max(0, Math.min(1, (line - 1 - inSight / 2) / most)) * room;
    }
    this.draw();
  }

  draw() {
    const first = this.first();
    const count = Math.ceil(this.box.clientHeight / this.height) + 1;
    this.rows.style.top = this.box.scrollTop + "px";
    const rows = [];
    for (let i = first; i < Math.min(first + count, this.all.length); i++) {
      const row = document.createElement("div");
      row.dataset.line = i + 1;
      if (i + 1 === this.now) row.classList.add("now");
      if (this.found.has(i + 1)) row.classList.add("found");
      const no = document.createElement("span");
      no.className = "no";
      no.textContent = i + 1;
      row.append(no, this.all[i]);
      rows.push(row);
    }
    this.rows.replaceChildren(...rows);
  }
}
