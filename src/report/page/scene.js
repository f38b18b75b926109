// The picture: the stock as a field of heights, the path, the cutter, clamps and marks.

// Okabe and Ito's palette for the colour-blind (Color Universal Design, 2008).
const PALETTE = ["#0072B2", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#D55E00", "#F0E442", "#000000"];
// From dark blue to yellow, even in lightness, after cividis (Nunez, Anderton, Renslow 2018),
// from memory.
const RAMP = ["#00204D", "#31446B", "#666970", "#958F78", "#CBBA69", "#FFEA46"];

const rgb = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16) / 255);

const FIELD_VERTEX = `#version 300 es
precision highp float; precision highp int; precision highp usampler2D;
uniform usampler2D heights; uniform usampler2D marks;
uniform mat4 camera; uniform ivec2 size; uniform vec4 place; uniform vec2 rise; uniform int skirt;
out vec3 at; flat out uvec2 mark; out float share;
float height(ivec2 c) {
  c = clamp(c, ivec2(0), size - 1);
  return float(texelFetch(heights, c, 0).r) / 65535.0;
}
void main() {
  int corner = gl_VertexID % 6, cell = gl_VertexID / 6;
  ivec2 d = ivec2(corner == 1 || corner == 4 || corner == 5 ? 1 : 0, corner == 2 || corner == 3 || corner == 5 ? 1 : 0);
  ivec2 c; float h;
  if (skirt == 0) {
    c = ivec2(cell % (size.x - 1), cell / (size.x - 1)) + d;
    h = height(c);
  } else {
    int around = cell;
    ivec2 n = size - 1;
    if (around < n.x) c = ivec2(around + d.x, 0);
    else if (around < n.x + n.y) c = ivec2(n.x, around - n.x + d.x);
    else if (around < 2 * n.x + n.y) c = ivec2(around - n.x - n.y + d.x, n.y);
    else c = ivec2(0, around - 2 * n.x - n.y + d.x);
    h = d.y == 0 ? height(c) : 0.0;
  }
  mark = texelFetch(marks, clamp(c, ivec2(0), size - 1), 0).rg;
  at = vec3(place.xy + (vec2(c) + 0.5) * place.z, rise.x + h * rise.y);
  share = h;
  gl_Position = camera * vec4(at, 1.0);
}`;

const FIELD_FRAGMENT = `#version 300 es
precision highp float; precision highp int;
in vec3 at; flat in uvec2 mark; in float share;
uniform int colour; uniform int skirt; uniform vec3 palette[8]; uniform vec3 ramp[6]; uniform vec2 deep; uniform float board;
out vec4 shade;
vec3 along(float t) {
  t = clamp(t, 0.0, 1.0) * 5.0;
  int i = min(int(t), 4);
  return mix(ramp[i], ramp[i + 1], t - float(i));
}
void main() {
  vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
  if (normal.z < 0.0) normal = -normal;
  float light = 0.35 + 0.75 * max(dot(normal, normalize(vec3(-0.45, -0.35, 0.82))), 0.0);
  if (skirt == 1) light = 0.72;
  vec3 wood = vec3(0.93, 0.82, 0.63);
  vec3 base = wood;
  if (mark.r > 0u) {
    if (colour == 0) base = along((at.z - deep.x) / max(deep.y - deep.x, 1e-6));
    else if (colour == 1) base = mix(palette[int(mark.r - 1u) % 8], vec3(1.0), 0.25);
    else base = along(float(mark.g) / 200.0);
  } else if (at.z <= board + 0.01) base = vec3(0.72, 0.74, 0.76);
  shade = vec4(base * light, 1.0);
}`;

// Points of the path that are drawn behind the cutter: more would hide a carving.
const TRAIL = 4000;

const LINE_VERTEX = `#version 300 es
precision highp float;
layout(location = 0) in vec3 point; layout(location = 1) in float kind;
uniform mat4 camera; flat out float sort;
void main() { sort = kind; gl_Position = camera * vec4(point, 1.0); gl_Position.z -= 0.0004 * gl_Position.w; }`;

const LINE_FRAGMENT = `#version 300 es
precision highp float;
flat in float sort; uniform vec4 cut; uniform vec4 travel; out vec4 shade;
void main() { shade = sort > 0.5 ? travel : cut; if (shade.a < 0.01) discard; }`;

function program(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
    gl.attachShader(made, shader);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  const names = {};
  const count = gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS);
  for (let i = 0; i < count; i++) {
    const name = gl.getActiveUniform(made, i).name;
    names[name.replace("[0]", "")] = gl.getUniformLocation(made, name);
  }
  return { made, names };
}

function times(a, b) {
  const out = new Float32Array(16);
  for (let c = 0; c < 4; c++) for (let r = 0; r < 4; r++) {
    let sum = 0;
    for (let k = 0; k < 4; k++) sum += a[4 * k + r] * b[4 * c + k];
    out[4 * c + r] = sum;
  }
  return out;
}

class Scene {
  constructor(canvas, facts, film, path) {
    const gl = canvas.getContext("webgl2", { antialias: true, preserveDrawingBuffer: true });
    if (!gl) throw new Error("this browser has no WebGL2");
    Object.assign(this, { canvas, gl, facts, film, path });
    this.field = program(gl, FIELD_VERTEX, FIELD_FRAGMENT);
    this.lines = program(gl, LINE_VERTEX, LINE_FRAGMENT);
    this.empty = gl.createVertexArray();
    this.colour = 0;
    this.showPath = true;
    this.heights = this.texture(gl.R16UI);
    this.marks = this.texture(gl.RG8UI);
    this.pathArray = this.array(path.points, Float32Array.from(path.traverse));
    this.cutterArray = this.array(new Float32Array(0), new Float32Array(0), true);
    this.things = this.fixed();
    this.lowest = this.deepest();
    this.look("corner");
  }

  texture(format) {
    const gl = this.gl, { columns, rows } = this.facts.field;
    const made = gl.createTexture();
    gl.bindTexture(gl.TEXTURE_2D, made);
    gl.texStorage2D(gl.TEXTURE_2D, 1, format, columns, rows);
    for (const name of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, name, gl.NEAREST);
    return made;
  }

  array(points, kinds, moving) {
    const gl = this.gl, made = gl.createVertexArray();
    gl.bindVertexArray(made);
    const buffers = [[points, 3], [kinds, 1]].map(([data, size], i) => {
      const buffer = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, data, moving ? gl.DYNAMIC_DRAW : gl.STATIC_DRAW);
      gl.enableVertexAttribArray(i);
      gl.vertexAttribPointer(i, size, gl.FLOAT, false, 0, 0);
      return buffer;
    });
    gl.bindVertexArray(null);
    return { made, buffers, count: kinds.length };
  }

  // Edges of clamps, the axes at the work zero, a cross at each finding.
  fixed() {
    const points = [], [x0, y0, z0, x1, y1, z1] = this.facts.stock;
    const line = (a, b) => points.push(...a, ...b);
    for (const [a, b, c, d, e, f] of this.facts.clamps) {
      const corner = (i) => [i & 1 ? d : a, i & 2 ? e : b, i & 4 ? f : c];
      for (let i = 0; i < 8; i++) for (const bit of [1, 2, 4]) if (!(i & bit)) line(corner(i), corner(i | bit));
    }
    const clamps = points.length / 3;
    const arm = 0.06 * Math.max(x1 - x0, y1 - y0);
    for (const axis of [0, 1, 2]) {
      const end = [0, 0, 0];
      end[axis] = axis === 2 ? arm / 2 : arm;
      line([0, 0, 0], end);
    }
    const axes = points.length / 3;
    for (const finding of this.facts.findings) {
      if (!finding.at) continue;
      const [x, y, z] = finding.at, r = arm / 4;
      line([x - r, y - r, z], [x + r, y + r, z]);
      line([x - r, y + r, z], [x + r, y - r, z]);
      line([x, y, z], [x, y, Math.max(z, z1) + arm / 2]);
    }
    return { ...this.array(new Float32Array(points), new Float32Array(points.length / 3)), clamps, axes };
  }

  deepest() {
    let low = this.facts.steps;
    const heights = this.film.height;
    for (let i = 0; i < heights.length; i++) if (heights[i] < low) low = heights[i];
    const [, , , , , z1] = this.facts.stock;
    return this.facts.floor + low / this.facts.steps * (z1 - this.facts.floor);
  }

  look(from) {
    const [x0, y0, z0, x1, y1, z1] = this.facts.stock;
    this.target = [(x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2];
    const wide = Math.max(this.canvas.clientWidth, 1) / Math.max(this.canvas.clientHeight, 1);
    const reach = Math.max((x1 - x0) / wide, y1 - y0, 20);
    [this.turn, this.tilt, this.distance] = {
      corner: [-0.32, 0.8, 1.2 * reach],
      above: [0, Math.PI / 2 - 0.001, 1.12 * reach],
      front: [0, 0.22, 1.15 * reach],
    }[from];
  }

  camera() {
    const wide = this.canvas.width / Math.max(this.canvas.height, 1);
    const near = this.distance / 200, far = this.distance * 20, focus = 1.9;
    const lens = new Float32Array([focus / wide, 0, 0, 0, 0, focus, 0, 0,
      0, 0, (far + near) / (near - far), -1, 0, 0, 2 * far * near / (near - far), 0]);
    const [ct, st] = [Math.cos(this.turn), Math.sin(this.turn)];
    const [cp, sp] = [Math.cos(this.tilt), Math.sin(this.tilt)];
    const right = [ct, st, 0], up = [-st * sp, ct * sp, cp], back = [st * cp, -ct * cp, sp];
    const eye = this.target.map((v, i) => v + back[i] * this.distance);
    const dot = (a) => -(a[0] * eye[0] + a[1] * eye[1] + a[2] * eye[2]);
    this.right = right; this.up = up;
    return times(lens, new Float32Array([right[0], up[0], back[0], 0, right[1], up[1], back[1], 0,
      right[2], up[2], back[2], 0, dot(right), dot(up), dot(back), 1]));
  }

  stockChanged() { this.stale = true; }

  upload() {
    const gl = this.gl, { columns, rows } = this.facts.field;
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    gl.bindTexture(gl.TEXTURE_2D, this.heights);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, columns, rows, gl.RED_INTEGER, gl.UNSIGNED_SHORT, this.film.now);
    gl.bindTexture(gl.TEXTURE_2D, this.marks);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, columns, rows, gl.RG_INTEGER, gl.UNSIGNED_BYTE, this.film.marks);
    this.stale = false;
  }

  draw(tip, cutter, upTo) {
    const gl = this.gl, canvas = this.canvas, scale = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [Math.round(canvas.clientWidth * scale), Math.round(canvas.clientHeight * scale)];
    if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
    if (this.stale !== false) this.upload();
    gl.viewport(0, 0, w, h);
    gl.clearColor(0.914, 0.929, 0.941, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    const camera = this.camera();
    this.drawField(camera);
    gl.useProgram(this.lines.made);
    gl.uniformMatrix4fv(this.lines.names.camera, false, camera);
    gl.enable(gl.BLEND);
    gl.blendFuncSeparate(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA, gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    const last = Math.min(upTo + 1, this.path.count), first = Math.max(0, last - TRAIL);
    if (this.showPath) this.drawLines(this.pathArray, gl.LINE_STRIP, first, last - first, [0.05, 0.05, 0.05, 0.4], [0.3, 0.3, 0.3, 0.45]);
    const t = this.things;
    this.drawLines(t, gl.LINES, 0, t.clamps, [0.4, 0.2, 0.4, 1]);
    this.drawLines(t, gl.LINES, t.clamps, t.axes - t.clamps, [0, 0, 0, 1]);
    gl.disable(gl.DEPTH_TEST);
    this.drawLines(t, gl.LINES, t.axes, t.count - t.axes, [0.835, 0.369, 0, 1]);
    gl.enable(gl.DEPTH_TEST);
    if (tip) this.drawCutter(tip, cutter);
    gl.disable(gl.BLEND);
  }

  drawField(camera) {
    const gl = this.gl, n = this.field.names, f = this.facts.field;
    gl.useProgram(this.field.made);
    gl.bindVertexArray(this.empty);
    gl.activeTexture(gl.TEXTURE0); gl.bindTexture(gl.TEXTURE_2D, this.heights);
    gl.activeTexture(gl.TEXTURE1); gl.bindTexture(gl.TEXTURE_2D, this.marks);
    gl.activeTexture(gl.TEXTURE0);
    gl.uniform1i(n.heights, 0); gl.uniform1i(n.marks, 1);
    gl.uniformMatrix4fv(n.camera, false, camera);
    gl.uniform2i(n.size, f.columns, f.rows);
    gl.uniform4f(n.place, f.x, f.y, f.cell, 0);
    const top = this.facts.stock[5];
    gl.uniform2f(n.rise, this.facts.floor, top - this.facts.floor);
    gl.uniform1i(n.colour, this.colour);
    gl.uniform3fv(n.palette, PALETTE.flatMap(rgb));
    gl.uniform3fv(n.ramp, RAMP.flatMap(rgb));
    gl.uniform2f(n.deep, this.lowest, top);
    gl.uniform1f(n.board, this.facts.stock[2]);
    for (const [skirt, cells] of [[0, (f.columns - 1) * (f.rows - 1)], [1, 2 * (f.columns + f.rows - 2)]]) {
      gl.uniform1i(n.skirt, skirt);
      gl.drawArrays(gl.TRIANGLES, 0, 6 * cells);
    }
  }

  drawLines(array, mode, from, count, cut, travel) {
    if (count <= 0) return;
    const gl = this.gl, n = this.lines.names;
    gl.uniform4fv(n.cut, cut);
    gl.uniform4fv(n.travel, travel || cut);
    gl.bindVertexArray(array.made);
    gl.drawArrays(mode, from, count);
  }

  drawCutter(tip, cutter) {
    const gl = this.gl, points = [], around = 24;
    const form = this.facts.cutters[cutter] || { outline: [[1, 0], [1, 20]] };
    const rings = form.outline.length ? [...form.outline] : [[1, 0], [1, 20]];
    if (form.holder) rings.push([form.holder[0], form.holder[1]], [form.holder[0], form.holder[1] + 12]);
    const on = ([r, h], k) => {
      const a = 2 * Math.PI * k / around;
      return [tip[0] + r * Math.cos(a), tip[1] + r * Math.sin(a), tip[2] + h];
    };
    for (let i = 0; i < rings.length; i++) for (let k = 0; k < around; k++) {
      points.push(...on(rings[i], k), ...on(rings[i], k + 1));
      if (i + 1 < rings.length && k % 3 === 0) points.push(...on(rings[i], k), ...on(rings[i + 1], k));
    }
    const count = points.length / 3;
    [new Float32Array(points), new Float32Array(count)].forEach((data, i) => {
      gl.bindBuffer(gl.ARRAY_BUFFER, this.cutterArray.buffers[i]);
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.DYNAMIC_DRAW);
    });
    this.drawLines(this.cutterArray, gl.LINES, 0, count, [0.1, 0.1, 0.15, 0.8]);
  }
}
