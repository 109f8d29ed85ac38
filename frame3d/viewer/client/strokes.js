// Strokes: lines and marks of even width on the screen, as thin tubes (WebGL's own lines are one
// pixel wide). What other parts hide of them shows faintly.

const BEHIND = 0.5; // opacity of what is hidden
const RIM = 1.2; // [px]

/** @typedef {"dot" | "diamond"} Mark */

export class Strokes {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./eye.js").Eye} eye
   * @param {number} width [px]
   */
  constructor(kit, eye, width) {
    const { THREE } = kit;
    this.THREE = THREE;
    this.eye = eye;
    this.width = width;
    this.object = new THREE.Group();
    this.rod = new THREE.CylinderGeometry(0.5, 0.5, 1, 10, 1, true).rotateX(Math.PI / 2);
    /** @type {Record<Mark, import("three").BufferGeometry>} */
    this.shapes = {
      dot: new THREE.SphereGeometry(0.5, 16, 12),
      diamond: new THREE.OctahedronGeometry(0.66),
    };
    this.front = new THREE.MeshBasicMaterial({ toneMapped: false });
    this.behind = new THREE.MeshBasicMaterial({
      toneMapped: false, transparent: true, opacity: BEHIND, depthTest: false, depthWrite: false,
    });
    // A rim around what is in front, so that it stands out from any part behind it.
    this.rim = new THREE.MeshBasicMaterial({ toneMapped: false, side: THREE.BackSide });
    /** @type {[import("three").Vector3, import("three").Vector3][]} */
    this.segments = [];
    /** @type {{at: import("three").Vector3, size: number}[]} */
    this.marks = [];
    /** @type {import("three").InstancedMesh[]} */
    this.meshes = [];
  }

  /**
   * @param {string} colour
   * @param {string} rim
   */
  paint(colour, rim) {
    this.front.color.set(colour);
    this.behind.color.set(colour);
    this.rim.color.set(rim);
  }

  /**
   * @param {[import("three").Vector3, import("three").Vector3][]} segments in the frame's axes [mm]
   * @param {{at: import("three").Vector3, shape: Mark, size: number}[]} [marks] size in pixels
   */
  draw(segments, marks = []) {
    this.clear();
    this.segments = segments;
    this.marks = [...marks].sort((a, b) => a.shape.localeCompare(b.shape));
    this.add(this.rod, segments.length);
    for (const shape of /** @type {Mark[]} */ (["diamond", "dot"])) {
      this.add(this.shapes[shape], marks.filter((mark) => mark.shape === shape).length);
    }
  }

  /**
   * @param {import("three").BufferGeometry} geometry
   * @param {number} count
   */
  add(geometry, count) {
    if (count === 0) return;
    for (const material of [this.behind, this.rim, this.front]) {
      const mesh = new this.THREE.InstancedMesh(geometry, material, count);
      mesh.frustumCulled = false;
      mesh.renderOrder = material === this.behind ? 8 : 9;
      this.meshes.push(mesh);
      this.object.add(mesh);
    }
  }

  /** Before a drawing: make them as wide as they have to be from here. */
  settle() {
    if (this.meshes.length === 0) return;
    const { Matrix4, Object3D, Vector3 } = this.THREE;
    this.object.updateWorldMatrix(true, false);
    const world = this.object.matrixWorld;
    const size = (/** @type {import("three").Vector3} */ at) =>
      this.eye.pixel(at.clone().applyMatrix4(world));
    const stand = new Object3D();
    /** @type {{matrix: import("three").Matrix4, grows: number[]}[]} */
    const all = this.segments.map(([a, b]) => {
      stand.position.copy(a).add(b).multiplyScalar(0.5);
      const thick = size(stand.position);
      stand.up.set(0, 0, 1);
      if (Math.abs(b.z - a.z) > 0.99 * a.distanceTo(b)) stand.up.set(1, 0, 0);
      stand.lookAt(b);
      const long = Math.max(a.distanceTo(b), 1e-6);
      stand.scale.set(this.width * thick, this.width * thick, long);
      stand.updateMatrix();
      const wider = 1 + (2 * RIM) / this.width;
      return { matrix: stand.matrix.clone(), grows: [wider, wider, 1] };
    });
    for (const { at, size: wide } of this.marks) {
      const scale = wide * size(at);
      const matrix = new Matrix4().makeScale(scale, scale, scale).setPosition(new Vector3().copy(at));
      const wider = 1 + (2 * RIM) / wide;
      all.push({ matrix, grows: [wider, wider, wider] });
    }
    let start = 0;
    for (let i = 0; i < this.meshes.length; i += 3) {
      const { count } = this.meshes[i];
      for (const mesh of this.meshes.slice(i, i + 3)) {
        for (let k = 0; k < count; k += 1) {
          const { matrix, grows } = all[start + k];
          const own = matrix.clone();
          if (mesh.material === this.rim) own.scale(new Vector3(...grows));
          mesh.setMatrixAt(k, own);
        }
        mesh.instanceMatrix.needsUpdate = true;
      }
      start += count;
    }
  }

  /** Draw nothing. */
  clear() {
    for (const mesh of this.meshes) {
      mesh.removeFromParent();
      mesh.dispose();
    }
    this.meshes = [];
    this.segments = [];
    this.marks = [];
  }

  dispose() {
    this.clear();
    this.object.removeFromParent();
    this.rod.dispose();
    this.front.dispose();
    this.behind.dispose();
    this.rim.dispose();
    for (const shape of Object.values(this.shapes)) shape.dispose();
  }
}
