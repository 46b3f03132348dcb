// The peer: exact Booleans on ready-made facets (npm manifold-3d), driven by one JSON request a line.
//
//   node manifold.mjs '{"do":"build","tree":"box.json","chord":0.005,"out":"box.stl"}'    one request, then the end
//   node manifold.mjs                                                                     requests on standard input
//
// build: the tree of primitives (mm) in a JSON file becomes a mesh whose chords stay within "chord"; faces curved both
// ways get half of it in each direction. "seconds" is the building alone: the file is read before, the STL written after. "processor" is
// what the process used of the processor meanwhile, in seconds, which a busy machine disturbs less.
// read: a binary STL is taken in as a solid; corners with the same coordinates are one vertex.
// Each answer is one JSON line. "error" stands in it when a request failed, and then alone.
import { readFileSync, writeFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import start from 'manifold-3d';

const kernel = await start();
kernel.setup();
const { Manifold, Mesh } = kernel;
let made = []; // what the kernel holds for the request at hand; its memory is not garbage collected

const keep = solid => (made.push(solid), solid);

function forget() {
  for (const solid of made) solid.delete();
  made = [];
}

// sides is the least number of chords round a circle whose sagitta r (1 - cos(pi/n)) stays within e.
const sides = (r, e) => Math.ceil(Math.PI / Math.acos(1 - e / r));
// quarter is the same for a quarter turn, for outlines that begin and end on an axis.
const quarter = (r, e) => Math.ceil(sides(r, e) / 4);

// arc lists the points of a circle of radius r about c from angle a to angle b, both ends included.
function arc(c, r, a, b, steps) {
  return Array.from({ length: steps + 1 }, (_, i) => {
    const u = a + (b - a) * i / steps;
    return [c[0] + r * Math.cos(u), c[1] + r * Math.sin(u)];
  });
}

const right = Math.PI / 2;

const shapes = {
  box: ([x, y, z]) => Manifold.cube([x, y, z], true),
  half: () => keep(Manifold.cube([100, 100, 100], true)).translate([0, 0, -50]),
  cyl: ([h, r], e) => Manifold.cylinder(h, r, r, sides(r, e), true),
  cone: ([h, low, high], e) => Manifold.cylinder(h, low, high, sides(Math.max(low, high), e), true),
  rbox([x, y, z, r], e) {
    const corners = [[1, 1], [-1, 1], [-1, -1], [1, -1]];
    const outline = corners.flatMap(([sx, sy], i) =>
      arc([sx * (x / 2 - r), sy * (y / 2 - r)], r, i * right, (i + 1) * right, quarter(r, e)));
    return Manifold.extrude([outline], z, 0, 0, [1, 1], true);
  },
  capsule([h, r], e) {
    const n = quarter(r, e / 2), c = h / 2 - r;
    const outline = [...arc([0, -c], r, -right, 0, n), ...arc([0, c], r, 0, right, n)];
    outline[0][0] = outline.at(-1)[0] = 0; // on the axis, where the cosine leaves 6e-17
    return Manifold.revolve([outline], 4 * n);
  },
};

const columns = rows => [0, 1, 2, 3].flatMap(j => [0, 1, 2, 3].map(i => rows[4 * i + j]));

const operations = { U: 'union', I: 'intersection', D: 'difference' };

function solid(node, e) {
  if (node.op) return keep(Manifold[operations[node.op]](node.c.map(kid => solid(kid, e))));
  return keep(keep(shapes[node.prim](node.a, e)).transform(columns(node.m)));
}

function figures(s) {
  return { status: s.status(), triangles: s.numTri(), vertices: s.numVert(), volume: s.volume(), area: s.surfaceArea(), genus: s.genus() };
}

// memory is the resident set now and the most there ever was, MiB, node itself included.
function memory() {
  return { rss_mib: process.memoryUsage().rss / 2 ** 20, peak_mib: process.resourceUsage().maxRSS / 1024 };
}

function build({ tree, chord, out }) {
  const root = JSON.parse(readFileSync(tree, 'utf8'));
  const begin = performance.now(), before = process.cpuUsage();
  const s = solid(root, chord);
  const mesh = s.getMesh(); // the kernel works when it is asked for a result
  const seconds = (performance.now() - begin) / 1000;
  const used = process.cpuUsage(before); // microseconds
  const answer = { seconds, processor: (used.user + used.system) / 1e6, ...figures(s), ...memory() };
  if (out) writeFileSync(out, stl(mesh));
  return answer;
}

const head = 84, stride = 50; // binary STL: text and count; normal, three corners, two bytes

function stl({ triVerts, vertProperties, numProp }) {
  const count = triVerts.length / 3;
  const bytes = Buffer.alloc(head + stride * count);
  bytes.writeUInt32LE(count, head - 4);
  triVerts.forEach((v, i) => {
    const at = head + stride * Math.floor(i / 3) + 12 + 12 * (i % 3); // readers make the normal from the corners
    for (let k = 0; k < 3; k++) bytes.writeFloatLE(vertProperties[v * numProp + k], at + 4 * k);
  });
  return bytes;
}

function read({ stl: path }) {
  const bytes = readFileSync(path), count = bytes.readUInt32LE(head - 4);
  const number = new Map(), points = [], triVerts = new Uint32Array(3 * count);
  for (let i = 0; i < 3 * count; i++) {
    const at = head + stride * Math.floor(i / 3) + 12 + 12 * (i % 3);
    const p = [0, 4, 8].map(k => bytes.readFloatLE(at + k) + 0);
    const key = p.join();
    if (!number.has(key)) {
      number.set(key, number.size);
      points.push(...p);
    }
    triVerts[i] = number.get(key);
  }
  const s = keep(Manifold.ofMesh(new Mesh({ numProp: 3, vertProperties: Float32Array.from(points), triVerts })));
  return { ...figures(s), parts: s.decompose().map(keep).length };
}

const tasks = { build, read };

function answer(line) {
  try {
    const request = JSON.parse(line);
    if (!Object.hasOwn(tasks, request.do)) throw new Error(`no task ${request.do}`);
    return tasks[request.do](request);
  } catch (e) {
    return { error: String(e.code ?? e.message ?? e) };
  } finally {
    forget();
  }
}

const say = line => process.stdout.write(JSON.stringify(answer(line)) + '\n');

if (process.argv.length > 2) process.argv.slice(2).forEach(say);
else for await (const line of createInterface({ input: process.stdin })) say(line);
