// Model: a GLB and its scene as parts that stand where a pose puts them.

import { creasesFrom } from "./creases.js";
import { Part } from "./part.js";
import { nodesOf } from "./pieces.js";
import { mountMatrix } from "./pose.js";

/**
 * @typedef {object} Motion
 * @property {string} name
 * @property {number} low
 * @property {number} high
 * @property {string} unit
 * @property {number | null} sag
 */

/**
 * @typedef {object} SceneData what the Python side says of the model; mm and degrees, x forward,
 *   y left, z up
 * @property {import("./part.js").PartData[]} parts
 * @property {Record<string, import("./pose.js").Step[]>} mounts
 * @property {Record<string, import("./pose.js").Swing>} [swings]
 * @property {Motion[]} [motions]
 * @property {{bottom_bracket: {mount: string}, wheels: {axle: number[], radius: number, tube: number,
 *   mount: string}[]}} [stand] rear, front
 * @property {import("./gaps.js").CheckData[]} [checks]
 * @property {import("./rider.js").RiderData | null} [rider]
 * @property {import("./bending.js").BendingData} [bending]
 */

export class Model {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {SceneData} data
   */
  constructor(kit, data) {
    this.kit = kit;
    this.data = data;
    this.object = new kit.THREE.Group();
    /** @type {Map<string, Part>} */
    this.parts = new Map();
    this.mounts = new Map(Object.entries(data.mounts));
    this.swings = data.swings ?? {};
    /** @type {import("./pose.js").Pose} */
    this.pose = {};
  }

  /**
   * Read a GLB: every node that the scene lists becomes a part, or what a part is drawn as; others are
   * left out. A part whose looks are neither there nor in store is drawn as its outline.
   * @param {import("./three.js").Kit} kit
   * @param {ArrayBuffer} glb metres, y up
   * @param {SceneData} data
   * @param {import("./shade.js").Shades} shades
   * @param {import("./pieces.js").PieceStore} store of what parts are drawn as
   * @param {Model} [before] that it takes the place of
   * @returns {Promise<Model>}
   */
  static async read(kit, glb, data, shades, store, before) {
    const model = new Model(kit, data);
    const gltf = await new kit.GLTFLoader().parseAsync(glb, "");
    /** @type {Map<string, import("./part.js").PartData[]>} */
    const listed = new Map();
    for (const part of data.parts) {
      const node = part.node ?? part.name;
      listed.set(node, [...(listed.get(node) ?? []), part]);
    }
    gltf.scene.updateMatrixWorld(true);
    const drawn = new Set(nodesOf(data));
    gltf.scene.traverse((node) => {
      const { name } = node.userData;
      if (!drawn.has(name) || store.held.has(name)) return;
      const geometry = geometryOf(kit, node);
      if (geometry !== undefined) store.held.set(name, { geometry, lines: linesOf(kit, creasesIn(node)) });
    });
    gltf.scene.traverse((node) => {
      for (const part of listed.get(node.userData.name) ?? []) {
        const geometry = geometryOf(kit, node);
        if (geometry === undefined) continue;
        if (part.shift !== undefined) geometry.translate(...part.shift);
        const old = before?.parts.get(part.name);
        model.add(new Part(kit, part, shades, geometry, creasesIn(node), old, store));
      }
    });
    return model;
  }

  /** @param {Part} part */
  add(part) {
    this.parts.set(part.name, part);
    this.object.add(part.object);
  }

  /** Every part, in the order of the scene. */
  get all() {
    return [...this.parts.values()];
  }

  /** Parts that are shown. */
  get visible() {
    return this.all.filter((part) => part.object.visible);
  }

  /**
   * @param {string} mount
   * @param {import("./pose.js").Pose} pose
   */
  matrixOf(mount, pose) {
    return mountMatrix(this.mounts.get(mount) ?? [], pose, this.swings);
  }

  /** @param {import("./pose.js").Pose} pose */
  setPose(pose) {
    this.pose = pose;
    for (const [mount] of this.mounts) {
      const matrix = this.matrixOf(mount, pose);
      for (const part of this.parts.values()) {
        if (part.data.mount === mount) part.object.matrix.fromArray(matrix);
      }
    }
    this.object.updateMatrixWorld(true);
  }

  /**
   * What parts take up as they stand, in the frame's axes [mm].
   * @param {Part[]} [parts]
   */
  box(parts = this.visible) {
    const box = new this.kit.THREE.Box3();
    for (const part of parts) box.union(part.box());
    return box;
  }

  /**
   * From where to where it reaches along an axis as it stands [mm].
   * @param {"x" | "y" | "z"} axis
   * @returns {[number, number]}
   */
  range(axis) {
    const box = this.box(this.all);
    return [box.min[axis], box.max[axis]];
  }

  /** What all parts take up as drawn [mm]; a little where there are none. */
  drawnBox() {
    const box = new this.kit.THREE.Box3();
    for (const { geometry } of this.all) {
      if (geometry.boundingBox !== null) box.union(geometry.boundingBox);
    }
    return box.isEmpty() ? box.expandByPoint(box.min.set(0, 0, 0)).expandByScalar(1) : box;
  }

  dispose() {
    this.object.removeFromParent();
    for (const part of this.parts.values()) part.dispose();
  }
}

/**
 * The triangles of a node in the frame's axes [mm].
 * @param {import("./three.js").Kit} kit
 * @param {import("three").Object3D} node
 * @returns {import("three").BufferGeometry | undefined}
 */
function geometryOf(kit, node) {
  const { THREE } = kit;
  const toFrame = new THREE.Matrix4().fromArray(TO_FRAME);
  /** @type {import("three").Mesh[]} */
  const meshes = [];
  node.traverse((child) => {
    const mesh = /** @type {import("three").Mesh} */ (child);
    if (mesh.isMesh === true) meshes.push(mesh);
  });
  const points = meshes.reduce((sum, mesh) => sum + mesh.geometry.attributes.position.count, 0);
  const count = meshes.reduce((sum, mesh) => sum + cornersOf(mesh.geometry).length, 0);
  if (count === 0) return undefined;
  const positions = new Float32Array(3 * points);
  const normals = new Float32Array(3 * points);
  const corners = new Uint32Array(count);
  let [point, corner] = [0, 0];
  for (const mesh of meshes) {
    const { geometry } = mesh;
    if (geometry.attributes.normal === undefined) geometry.computeVertexNormals();
    const matrix = toFrame.clone().multiply(mesh.matrixWorld);
    const { position, normal } = geometry.attributes;
    moved(numbersOf(position), matrix.elements, positions, 3 * point);
    const turn = new THREE.Matrix3().getNormalMatrix(matrix).elements;
    const still = [...turn.slice(0, 3), 0, ...turn.slice(3, 6), 0, ...turn.slice(6, 9), 0, 0, 0, 0, 1];
    moved(numbersOf(normal), still, normals, 3 * point);
    const own = cornersOf(geometry);
    for (let i = 0; i < own.length; i += 1) corners[corner + i] = point + own[i];
    point += position.count;
    corner += own.length;
  }
  const whole = new THREE.BufferGeometry();
  whole.setAttribute("position", new THREE.BufferAttribute(positions, 3));
  whole.setAttribute("normal", new THREE.BufferAttribute(normals, 3));
  whole.normalizeNormals();
  whole.setIndex(new THREE.BufferAttribute(corners, 1));
  return whole;
}

// glTF: +Z is forward, +X left, +Y up (glTF 2.0, section 3.4), in metres.
const M = 1000;
const TO_FRAME = [0, M, 0, 0, 0, 0, M, 0, M, 0, 0, 0, 0, 0, 0, 1];

/**
 * The sharp edges of a node, where the file has them as lines, in the frame's axes [mm].
 * @param {import("three").Object3D} node
 * @returns {import("./creases.js").Creases | undefined}
 */
function creasesIn(node) {
  /** @type {import("three").LineSegments | undefined} */
  let lines;
  node.traverse((child) => {
    const found = /** @type {import("three").LineSegments} */ (child);
    if (found.isLineSegments === true) lines = found;
  });
  if (lines === undefined) return undefined;
  const { geometry } = lines;
  const ends = cornersOf(geometry);
  const from = numbersOf(geometry.attributes.position);
  const own = new Float32Array(3 * ends.length);
  for (let i = 0; i < ends.length; i += 1) {
    for (let k = 0; k < 3; k += 1) own[3 * i + k] = from[3 * ends[i] + k];
  }
  const points = new Float32Array(own.length);
  const { matrixWorld } = lines;
  const motion = matrixWorld.clone().premultiply(matrixWorld.clone().fromArray(TO_FRAME));
  moved(own, motion.elements, points, 0);
  return creasesFrom(points, ends);
}

/**
 * @param {import("./three.js").Kit} kit
 * @param {import("./creases.js").Creases | undefined} creases
 */
function linesOf(kit, creases) {
  if (creases === undefined) return null;
  const lines = new kit.THREE.BufferGeometry();
  lines.setAttribute("position", new kit.THREE.BufferAttribute(creases.points, 3));
  return lines;
}

/**
 * The points of every triangle.
 * @param {import("three").BufferGeometry} geometry
 * @returns {ArrayLike<number>}
 */
function cornersOf(geometry) {
  if (geometry.index !== null) return geometry.index.array;
  return Uint32Array.from({ length: geometry.attributes.position.count }, (_, i) => i);
}

/**
 * Three numbers a point.
 * @param {import("three").BufferAttribute | import("three").InterleavedBufferAttribute} attribute
 * @returns {ArrayLike<number>}
 */
function numbersOf(attribute) {
  const plain = /** @type {import("three").BufferAttribute} */ (attribute);
  if (plain.isBufferAttribute === true && plain.array instanceof Float32Array) return plain.array;
  return Float32Array.from({ length: 3 * attribute.count }, (_, i) =>
    attribute.getComponent(Math.floor(i / 3), i % 3),
  );
}

/**
 * @param {ArrayLike<number>} from (n, 3)
 * @param {ArrayLike<number>} m a motion, 16 numbers column by column
 * @param {Float32Array} to where to put the moved points
 * @param {number} at from which place on
 */
function moved(from, m, to, at) {
  for (let i = 0; i < from.length; i += 3) {
    const [x, y, z] = [from[i], from[i + 1], from[i + 2]];
    to[at + i] = m[0] * x + m[4] * y + m[8] * z + m[12];
    to[at + i + 1] = m[1] * x + m[5] * y + m[9] * z + m[13];
    to[at + i + 2] = m[2] * x + m[6] * y + m[10] * z + m[14];
  }
}
