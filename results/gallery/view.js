// True 3D: one panel's triangles, drawn once for each copy with a depth buffer. A page may say where
// each copy is and how it looks (`look`), what the view turns about (`centre`), and lay marks over it.
const vertexShader = `
attribute vec3 place; attribute vec3 facing; attribute float wall;
uniform mat3 copy, turn; uniform vec3 shift, middle; uniform vec2 lens, pan; uniform float radius;
varying vec3 normal, spot; varying float inner, edge;
void main() {
  vec3 p = turn * (copy * place + shift);
  normal = turn * (copy * facing);
  inner = dot(normal, turn * middle);
  edge = wall; spot = p / radius;
  float depth = 4.2 * radius - p.z;
  gl_Position = vec4(p.xy * lens + pan * depth, (9.0 * depth - 16.0 * radius) / 7.0, depth);  // near 1, far 8 radii
}`;
const fragmentShader = `
precision mediump float;
uniform vec3 colour, board, sky, ink;
varying vec3 normal, spot; varying float inner, edge;  // edge: 0 face, 1 wall, 2 ink, 3 mark
uniform float seen, shade;  // shade: of the inside
void main() {
  if (edge > 2.5) { gl_FragColor = vec4(colour * seen, seen); return; }
  vec3 n = normalize(normal);
  float key = max(0.0, dot(n, sky)), open = 0.5 + 0.5 * n.y;
  float light = 0.66 + 0.36 * key + 0.14 * open;
  light *= mix(0.78, 1.0, smoothstep(0.25, 0.95, length(spot)));
  vec3 base = edge > 0.5 ? board : (inner < 0.0 ? mix(colour, vec3(0.36, 0.32, 0.28), shade) : colour);
  gl_FragColor = vec4(mix(base * light, ink, edge > 1.5 ? 0.85 : 0.0), 1.0);
}`;

const multiply = (a, b) => {  // 3x3, column after column as WebGL wants them
  const c = new Array(9).fill(0);
  for (let column = 0; column < 3; ++column) for (let row = 0; row < 3; ++row)
    for (let k = 0; k < 3; ++k) c[column * 3 + row] += a[k * 3 + row] * b[column * 3 + k];
  return c;
};
const about = (axis, angle) => {
  const c = Math.cos(angle), s = Math.sin(angle);
  return axis === "x" ? [1, 0, 0, 0, c, s, 0, -s, c] : [c, 0, -s, 0, 1, 0, s, 0, c];
};
// As the drawing sees it, z up.
const turnTowards = back => {
  const flat = Math.hypot(back[0], back[1]) || 1, right = [-back[1] / flat, back[0] / flat, 0];
  const up = [back[1] * right[2] - back[2] * right[1], back[2] * right[0] - back[0] * right[2], back[0] * right[1] - back[1] * right[0]];
  return [right[0], up[0], back[0], right[1], up[1], back[1], right[2], up[2], back[2]];
};
// Turned on so that the axis that nearly points to the eye does: nothing when none is within 7 degrees.
const snapTo = (turn, axes) => {
  let best = null, cosine = Math.cos(7 * Math.PI / 180);
  for (let i = 0; i < axes.length; i += 3) {
    const v = [0, 1, 2].map(row => turn[row] * axes[i] + turn[3 + row] * axes[i + 1] + turn[6 + row] * axes[i + 2]);
    if (v[2] > cosine) { cosine = v[2]; best = v; }
  }
  if (!best || cosine > 1 - 1e-9) return turn;
  // Rodrigues' rotation that carries v to (0, 0, 1), about v x z.
  const [x, y, z] = best, k = 1 / (1 + z);
  return multiply([1 - k * x * x, -k * x * y, x, -k * x * y, 1 - k * y * y, y, -x, -y, z], turn);
};
const numbersOf = hex => [1, 3, 5].map(i => parseInt(hex.slice(i, i + 2), 16) / 255);

class View {
  constructor(canvas, shape, shared) {
    this.canvas = canvas; this.shape = shape; this.shared = shared;
    const gl = canvas.getContext("webgl", {antialias: true, alpha: true});
    if (!gl) throw new Error("no WebGL");
    this.gl = gl;
    const program = gl.createProgram();
    for (const [kind, source] of [[gl.VERTEX_SHADER, vertexShader], [gl.FRAGMENT_SHADER, fragmentShader]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, source); gl.compileShader(shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS) && !gl.isContextLost()) throw new Error(gl.getShaderInfoLog(shader));
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error("no WebGL program");
    gl.useProgram(program);
    this.at = name => gl.getUniformLocation(program, name);
    this.slots = ["place", "facing", "wall"].map(name => gl.getAttribLocation(program, name));
    this.orbits = shape.orbits.map(orbit => this.load(orbit));
    this.listen();
    this.watch = new ResizeObserver(() => this.draw());
    this.watch.observe(canvas);
  }
  // The panel as a slab: both faces, bevelled walls along the rings, and ink along the rims of the
  // faces. The ink lies in the face itself, so that no edge behind a board shines through it; the
  // bevel keeps an end that is glued to another panel from coming out of its far side.
  load(orbit) {
    const gl = this.gl, half = this.shape.thickness / 2, [o, x, y, n] = [0, 3, 6, 9].map(i => orbit.frame.slice(i, i + 3));
    const lift = ([a, b], h) => [0, 1, 2].map(k => o[k] + a * x[k] + b * y[k] + h * n[k]);
    const flat = i => [orbit.points[2 * i], orbit.points[2 * i + 1]], rim = [];
    const solid = [], ink = [], width = 0.005 * this.shape.radius;
    let start = 0;
    for (const count of orbit.rings) {
      const out = start ? -1 : 1, at = k => start + (k + count) % count;
      const outward = k => {  // of the edge from corner k to the next, in the plane
        const [a, b] = [flat(at(k)), flat(at(k + 1))], d = [b[0] - a[0], b[1] - a[1]], length = Math.hypot(...d) || 1;
        return [out * d[1] / length, -out * d[0] / length];
      };
      const inset = (k, by) => {  // corner k moved inwards, mitred
        const [p, q] = [outward(k - 1), outward(k)], sum = [p[0] + q[0], p[1] + q[1]], square = Math.max(sum[0] ** 2 + sum[1] ** 2, 0.3);
        return flat(at(k)).map((v, m) => v - 2 * by * sum[m] / square);
      };
      for (let k = 0; k < count; ++k) rim[at(k)] = inset(k, half);
      for (let k = 0; k < count; ++k) {
        const [u, v] = outward(k), side = [0, 1, 2].map(m => u * x[m] + v * y[m]), [a, b] = [inset(k, half), inset(k + 1, half)];
        for (const h of [half, -half])
          for (const [p, g] of [[flat(at(k)), 0], [flat(at(k + 1)), 0], [a, h], [a, h], [flat(at(k + 1)), 0], [b, h]]) solid.push(...lift(p, g), ...side, 1);
        const [c, d] = [inset(k + 1, half + width), inset(k, half + width)];
        for (const h of [half, -half]) for (const corner of [a, b, c, a, c, d]) ink.push(...lift(corner, h), ...n, 2);
      }
      start += count;
    }
    for (let t = 0; t < orbit.triangles.length; t += 3) {
      const [a, b, c] = orbit.triangles.slice(t, t + 3);
      for (const i of [a, b, c]) solid.push(...lift(rim[i], half), ...n, 0);
      for (const i of [a, c, b]) solid.push(...lift(rim[i], -half), ...n.map(v => -v), 0);
    }
    for (const ring of orbit.tabs ?? [])
      for (let k = 2; k < ring.length / 3; ++k)
        for (const i of [0, k - 1, k]) solid.push(...ring.slice(3 * i, 3 * i + 3), ...n, 1);
    const buffer = values => {
      const b = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, b);
      gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(values), gl.STATIC_DRAW);
      return {buffer: b, count: values.length / 7};
    };
    return {solid: buffer(solid), ink: buffer(ink), orbit};
  }
  // Another design in the same canvas.
  show(shape) {
    for (const {solid, ink} of this.orbits) for (const {buffer} of [solid, ink]) this.gl.deleteBuffer(buffer);
    this.shape = shape;
    this.orbits = shape.orbits.map(orbit => this.load(orbit));
  }
  draw() {
    const gl = this.gl, canvas = this.canvas, {turn, zoom, pan, apart, bare} = this.shared;
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    const width = Math.round(canvas.clientWidth * ratio), height = Math.round(canvas.clientHeight * ratio);
    if (!width || !height || gl.isContextLost()) return;
    if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST); gl.depthFunc(gl.LESS);
    // Just enough to keep ink before its own face: with few bits of depth the ends of hidden panels
    // would show through the board before them as dots.
    gl.polygonOffset(0, gl.getParameter(gl.DEPTH_BITS) >= 24 ? 16 : 1);
    const radius = this.shared.radius, small = Math.min(width, height), lens = 3.7 * zoom / (1 + apart * 0.55);
    gl.uniform2f(this.at("lens"), lens * small / width, lens * small / height);
    gl.uniform2f(this.at("pan"), pan[0] * small / width, pan[1] * small / height);
    gl.uniform1f(this.at("radius"), radius);
    gl.uniform3fv(this.at("ink"), document.documentElement.dataset.theme === "dark" && !bare && this.shape.coloured ? [0.9, 0.89, 0.86] : [0.13, 0.15, 0.18]);
    gl.uniformMatrix3fv(this.at("turn"), false, turn);
    gl.uniform3f(this.at("sky"), -0.45, 0.72, 0.53);
    gl.uniform3fv(this.at("board"), numbersOf("#d2b98e"));
    const plain = copy => ({colour: bare || !this.shape.coloured ? "#dcc6a0" : this.shape.palette[copy % this.shape.palette.length], shift: [0, 0, 0]});
    const {look, centre = [0, 0, 0], marks = [], shade = 0.45} = this.shared;
    gl.uniform1f(this.at("shade"), shade);
    let first = 0;
    for (const {solid, ink, orbit} of this.orbits) {
      for (const set of [solid, ink]) {
        set === solid ? gl.enable(gl.POLYGON_OFFSET_FILL) : gl.disable(gl.POLYGON_OFFSET_FILL);
        gl.bindBuffer(gl.ARRAY_BUFFER, set.buffer);
        this.slots.forEach((slot, i) => { if (slot >= 0) { gl.enableVertexAttribArray(slot); gl.vertexAttribPointer(slot, [3, 3, 1][i], gl.FLOAT, false, 28, [0, 12, 24][i]); } });
        orbit.copies.forEach((copy, i) => {
          const own = look ? look(first + i) : plain(orbit.colours[i]);
          if (!own) return;  // not there
          const middle = [0, 1, 2].map(k => copy[k] * orbit.middle[0] + copy[3 + k] * orbit.middle[1] + copy[6 + k] * orbit.middle[2]);
          const length = Math.hypot(...middle) || 1;
          gl.uniformMatrix3fv(this.at("copy"), false, copy);
          gl.uniform3fv(this.at("middle"), middle);
          gl.uniform3fv(this.at("shift"), middle.map((v, k) => v / length * apart * radius * 0.6 + own.shift[k] - centre[k]));
          gl.uniform3fv(this.at("colour"), numbersOf(own.colour));
          gl.drawArrays(gl.TRIANGLES, 0, set.count);
        });
      }
      first += orbit.copies.length;
    }
    if (marks.length) this.drawMarks(marks, centre);
    canvas.dataset.turn = turn.map(v => v.toFixed(3)).join(" ");
  }
  // Bars from place to place in flat colours: as they are where nothing hides them, faint where
  // something does.
  drawMarks(marks, centre) {
    const gl = this.gl, byColour = new Map();
    for (const {from, to, colour, thick, pointed} of marks) {
      if (!byColour.has(colour)) byColour.set(colour, []);
      const values = byColour.get(colour), along = to.map((v, k) => v - from[k]), length = Math.hypot(...along) || 1;
      const u = along.map(v => v / length), aside = Math.abs(u[2]) < 0.9 ? [u[1], -u[0], 0] : [0, u[2], -u[1]], size = Math.hypot(...aside);
      const p = aside.map(v => v / size), q = [u[1] * p[2] - u[2] * p[1], u[2] * p[0] - u[0] * p[2], u[0] * p[1] - u[1] * p[0]];
      const put = (at, angle, wide) => values.push(...[0, 1, 2].map(k => from[k] + u[k] * at + wide * (Math.cos(angle) * p[k] + Math.sin(angle) * q[k])), ...u, 3);
      const tube = (a, wideA, b, wideB) => {
        for (let k = 0; k < 6; ++k) {
          const [s, t] = [k * Math.PI / 3, (k + 1) * Math.PI / 3];
          put(a, s, wideA); put(a, t, wideA); put(b, t, wideB); put(a, s, wideA); put(b, t, wideB); put(b, s, wideB);
          for (const [at, wide] of [[a, wideA], [b, wideB]]) { put(at, s, wide); put(at, t, wide); put(at, s, 0); }
        }
      };
      const neck = pointed ? Math.max(0, length - 6 * thick) : length;
      tube(0, thick, neck, thick);
      if (pointed) tube(neck, 2.6 * thick, length, 0);
    }
    const one = [1, 0, 0, 0, 1, 0, 0, 0, 1];
    gl.uniformMatrix3fv(this.at("copy"), false, one);
    gl.uniform3fv(this.at("shift"), centre.map(v => -v));
    gl.uniform3fv(this.at("middle"), [0, 0, 0]);
    gl.enable(gl.BLEND); gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA); gl.depthMask(false);
    for (const [colour, values] of byColour) {
      const buffer = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(values), gl.STREAM_DRAW);
      this.slots.forEach((slot, i) => { if (slot >= 0) { gl.enableVertexAttribArray(slot); gl.vertexAttribPointer(slot, [3, 3, 1][i], gl.FLOAT, false, 28, [0, 12, 24][i]); } });
      gl.uniform3fv(this.at("colour"), numbersOf(colour));
      for (const [rule, seen] of [[gl.GREATER, 0.3], [gl.LEQUAL, 1]]) {
        gl.depthFunc(rule); gl.uniform1f(this.at("seen"), seen);
        gl.drawArrays(gl.TRIANGLES, 0, values.length / 7);
      }
      gl.deleteBuffer(buffer);
    }
    gl.depthMask(true); gl.disable(gl.BLEND); gl.depthFunc(gl.LESS);
  }
  // Where a place in space is on the canvas, in CSS pixels from its corner.
  project(place) {
    const {turn, zoom, pan, apart, radius, centre = [0, 0, 0]} = this.shared, wide = this.canvas.clientWidth, high = this.canvas.clientHeight;
    const d = place.map((v, k) => v - centre[k]), p = [0, 1, 2].map(row => turn[row] * d[0] + turn[3 + row] * d[1] + turn[6 + row] * d[2]);
    const depth = 4.2 * radius - p[2], lens = 3.7 * zoom / (1 + apart * 0.55), small = Math.min(wide, high);
    return {x: wide / 2 + (p[0] * lens / depth + pan[0]) * small / 2, y: high / 2 - (p[1] * lens / depth + pan[1]) * small / 2, depth, seen: depth > 1.05 * radius};
  }
  listen() {
    const canvas = this.canvas, fingers = new Map();
    canvas.addEventListener("pointerdown", event => { canvas.setPointerCapture(event.pointerId); fingers.set(event.pointerId, event); canvas.focus({preventScroll: true}); });
    const lift = event => { if (fingers.delete(event.pointerId) && !fingers.size) this.shared.snap(this.shape.axes); };
    canvas.addEventListener("pointerup", lift);
    canvas.addEventListener("pointercancel", lift);
    canvas.addEventListener("pointermove", event => {
      const last = fingers.get(event.pointerId);
      if (!last) return;
      const apart = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY); };
      const dx = event.clientX - last.clientX, dy = event.clientY - last.clientY, small = Math.min(canvas.clientWidth, canvas.clientHeight);
      if (fingers.size === 2) {  // two fingers move and zoom at once; each carries half
        const before = apart();
        fingers.set(event.pointerId, event);
        if (before > 0) this.shared.zoomBy(apart() / before);
        this.shared.panBy(dx / small, -dy / small);
      } else {
        fingers.set(event.pointerId, event);
        if (event.buttons === 2 || event.shiftKey) this.shared.panBy(2 * dx / small, -2 * dy / small);
        else this.shared.turnBy(dx * 0.008, dy * 0.008);
      }
    });
    canvas.addEventListener("contextmenu", event => event.preventDefault());
    canvas.addEventListener("wheel", event => { event.preventDefault(); this.shared.zoomBy(Math.exp(-event.deltaY * 0.0012)); }, {passive: false});
  }
  close() {
    this.watch.disconnect();
    const lose = this.gl.getExtension("WEBGL_lose_context");
    if (lose) lose.loseContext();
  }
}

// What the views in one window share: they turn together, and show their designs at one scale.
const shared = {
  first: turnTowards([1, 0, 0]), turn: turnTowards([1, 0, 0]), zoom: 1, pan: [0, 0], radius: 1, apart: 0, bare: false, spinning: false, views: [],
  draw() { requestAnimationFrame(() => this.views.forEach(view => view.draw())); },
  turnBy(right, down) { this.turn = multiply(about("x", down), multiply(about("y", right), this.turn)); this.draw(); },
  zoomBy(factor) { this.zoom = Math.min(6, Math.max(0.4, this.zoom * factor)); this.draw(); },
  panBy(right, up) { this.pan = [this.pan[0] + right, this.pan[1] + up].map(v => Math.min(3, Math.max(-3, v))); this.draw(); },
  // The first view of a design is its drawing's.
  begin(shape) { this.first = turnTowards(shape.eye); this.bare = shape.bare; this.turn = this.first; },
  snap(axes) { this.turn = snapTo(this.turn, axes); this.draw(); },
  reset() { this.turn = this.first; this.zoom = 1; this.pan = [0, 0]; this.draw(); },
  spin(on) {  // a turn in 40 seconds, for a projector
    this.spinning = on;
    let last = 0;
    const step = now => {
      if (!this.spinning || !this.views.length) return;
      if (last) this.turnBy((now - last) * 2 * Math.PI / 40000, 0);
      last = now;
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  },
};
