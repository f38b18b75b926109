// Reading what is packed in the page, and the stock at any time.

async function unpacked(id) {
  const coded = atob(document.getElementById(id).textContent.trim());
  const bytes = new Uint8Array(coded.length);
  for (let i = 0; i < coded.length; i++) bytes[i] = coded.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

// Streams: four bytes of length, the least first, then that many bytes.
function* streams(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 0;
  while (at + 4 <= bytes.length) {
    const length = view.getUint32(at, true);
    yield bytes.subarray(at + 4, at + 4 + length);
    at += 4 + length;
  }
}

function summed(bytes, out) {
  let count = 0, last = 0, value = 0, scale = 1;
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i];
    value += (byte & 127) * scale;
    if (byte & 128) { scale *= 128; continue; }
    last += value % 2 ? -(value + 1) / 2 : value / 2;
    out[count++] = last;
    value = 0; scale = 1;
  }
  return out;
}

function countOf(bytes) {
  let count = 0;
  for (let i = 0; i < bytes.length; i++) if (bytes[i] < 128) count++;
  return count;
}

class Film {
  constructor(facts, bytes) {
    const parts = [...streams(bytes)];
    this.cells = facts.field.columns * facts.field.rows;
    this.counts = summed(parts[0], new Uint32Array(facts.field.frames));
    const total = this.counts.reduce((a, b) => a + b, 0);
    this.cell = summed(parts[1], new Uint32Array(total));
    this.height = summed(parts[2], new Uint16Array(total));
    this.cutter = parts[3];
    this.load = parts[4];
    this.starts = new Uint32Array(facts.field.frames + 1);
    for (let i = 0; i < this.counts.length; i++) this.starts[i + 1] = this.starts[i] + this.counts[i];
    this.first = this.uncut(facts);
    const before = summed(parts[5], new Uint32Array(countOf(parts[5])));
    const heights = summed(parts[6], new Uint16Array(before.length));
    before.forEach((cell, i) => { this.first[cell] = heights[i]; });
    this.now = new Uint16Array(this.first);
    // Two bytes a cell: 1 + the cutter's place, and the load.
    this.marks = new Uint8Array(2 * this.cells);
    this.frame = 0;
    this.kept = new Map();
  }

  uncut(facts) {
    const { columns, rows, x, y, cell } = facts.field;
    const [x0, y0, z0, x1, y1, z1] = facts.stock;
    const step = (z) => Math.round((z - facts.floor) / (z1 - facts.floor) * facts.steps);
    const all = new Uint16Array(columns * rows).fill(step(z0));
    for (let j = 0; j < rows; j++) {
      const py = y + (j + 0.5) * cell;
      if (py < y0 || py > y1) continue;
      for (let i = 0; i < columns; i++) {
        const px = x + (i + 0.5) * cell;
        if (px >= x0 && px <= x1) all[j * columns + i] = step(z1);
      }
    }
    return all;
  }

  // Brings the stock to the end of a frame; 0 is before the first.
  go(frame) {
    if (frame === this.frame) return false;
    if (frame < this.frame) {
      let best = 0;
      for (const at of this.kept.keys()) if (at <= frame && at > best) best = at;
      const kept = this.kept.get(best);
      this.now.set(kept ? kept[0] : this.first);
      if (kept) this.marks.set(kept[1]); else this.marks.fill(0);
      this.frame = best;
    }
    while (this.frame < frame) {
      const end = this.starts[this.frame + 1];
      for (let i = this.starts[this.frame]; i < end; i++) {
        const cell = this.cell[i];
        this.now[cell] = this.height[i];
        this.marks[2 * cell] = 1 + this.cutter[i];
        this.marks[2 * cell + 1] = this.load[i];
      }
      this.frame++;
      if (this.frame % 24 === 0 && !this.kept.has(this.frame)) {
        this.kept.set(this.frame, [this.now.slice(), this.marks.slice()]);
      }
    }
    return true;
  }
}

class Path {
  constructor(bytes) {
    const parts = [...streams(bytes)];
    this.count = countOf(parts[0]);
    const axis = [0, 1, 2].map((i) => summed(parts[i], new Int32Array(this.count)));
    this.points = new Float32Array(3 * this.count);
    for (let i = 0; i < this.count; i++) {
      for (let k = 0; k < 3; k++) this.points[3 * i + k] = axis[k][i] / 100;
    }
    this.time = summed(parts[3], new Float64Array(this.count));
    this.line = summed(parts[4], new Uint32Array(this.count));
    this.traverse = parts[5];
    this.cutter = parts[6];
    this.load = parts[7];
  }

  // The last point that is reached at this time, in milliseconds.
  at(ms) {
    let low = 0, high = this.count - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.time[middle] <= ms) low = middle; else high = middle - 1;
    }
    return low;
  }

  // The first point that belongs to this line or a later one.
  ofLine(line) {
    const at = this.line.findIndex((l) => l >= line);
    return at < 0 ? this.count - 1 : at;
  }
}
