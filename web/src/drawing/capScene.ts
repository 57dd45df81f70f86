// The cap engraved in three dimensions: its own parallels, heavier on the shaded side, ink on paper;
// seams, eyelets, button and bill; the stitches as ribbons in thread colours under a gentle light.
// Renders when asked and not otherwise.
import {
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  Group,
  Mesh,
  OrthographicCamera,
  Scene,
  WebGLRenderer,
} from 'three';
import type { CapShape as CapData } from '../types';
import { type CapShape, panelAngles, type Vec } from './capShape';
import * as made from './capSurfaces';
import { kInk, kPaper } from './ink';
import type { Ribbons } from './ribbons';

export interface CapPose {
  yaw: number; // rad; positive brings the cap's left side, as worn, forward
  pitch: number; // rad, seen from above
}

const kQuick_ms = 12; // a picture in so little time is drawn smooth while it turns, too
const kLeastHalf = 116; // mm, half of what is shown across

export class CapScene {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera(-1, 1, 1, -1, 1, 900);
  private readonly cap = new Group();
  private body: Mesh[] = [];
  private sewn: Mesh | null = null;
  private ribbons: Ribbons | null = null;
  private needle: Mesh | null = null;
  private outline: Vec[] = [];
  private width = 1;
  private height = 1;
  private density = 1;
  private shown = 0; // device px a px that the canvas has
  private isQuick = false;

  /** Throws where the browser has no 3-D. */
  constructor(canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: false, preserveDrawingBuffer: true });
    this.renderer.setClearColor(new Color(kPaper), 1);
    this.camera.position.set(0, 0, 450);
    this.scene.add(this.cap);
  }

  setCap(shape: CapShape, cap: CapData) {
    for (const mesh of this.body) this.drop(mesh);
    const { seams, eyelets } = panelAngles(cap, (arc) => shape.radius(arc));
    const eyeletArc = cap.eyelets[0]?.[1] ?? 92;
    const plain = made.plainMaterial(kInk);
    const crown = made.crownGeometry(shape);
    this.body = [
      new Mesh(crown, made.crownMaterial()),
      new Mesh(made.swollen(crown, 0.75), made.plainMaterial(kInk, BackSide)),
      new Mesh(made.billGeometry(shape), made.billMaterial()),
      new Mesh(made.billRim(shape), plain),
      new Mesh(made.crownEdge(shape), plain),
      new Mesh(made.seamGeometry(shape, seams, cap.has_seam), made.plainMaterial(kInk, DoubleSide)),
      ...made.eyeletMeshes(shape, eyelets, eyeletArc),
      ...made.buttonMeshes(shape),
    ];
    for (const mesh of this.body) this.cap.add(mesh);
    this.outline = made.outlinePoints(shape);
  }

  setRibbons(ribbons: Ribbons) {
    if (this.sewn) this.drop(this.sewn);
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(ribbons.position, 3));
    geometry.setAttribute('normal', new BufferAttribute(ribbons.normal, 4, true));
    geometry.setAttribute('thread', new BufferAttribute(ribbons.colour, 4, true));
    geometry.setIndex(new BufferAttribute(ribbons.index, 1));
    this.sewn = new Mesh(geometry, made.threadMaterial());
    this.sewn.frustumCulled = false;
    this.ribbons = ribbons;
    this.cap.add(this.sewn);
  }

  /** Shows what is sewn up to and with the entry; all for null. */
  setSewn(entry: number | null) {
    const { ribbons, sewn } = this;
    if (!ribbons || !sewn) return;
    const k = entry === null ? ribbons.count : (ribbons.upTo[entry] ?? ribbons.count);
    sewn.geometry.setDrawRange(0, 6 * k);
  }

  /** Where the needle stands, or null for none. */
  setNeedle(shape: CapShape, place: [number, number] | null) {
    if (!this.needle) {
      this.needle = made.needleMesh();
      this.cap.add(this.needle);
    }
    this.needle.visible = place !== null;
    if (place) made.putNeedle(this.needle, shape, place);
  }

  setSize(width: number, height: number, density: number) {
    this.width = width;
    this.height = height;
    this.density = density;
    this.shown = 0;
  }

  /**
   * At rest every px is drawn from four, which is smoother than the card's own means and costs nothing
   * while the cap turns; where that is quick it is done always.
   */
  render(pose: CapPose, isAtRest: boolean) {
    const ratio = this.density * (isAtRest || this.isQuick ? 2 : 1);
    if (ratio !== this.shown) {
      this.shown = ratio;
      this.renderer.setPixelRatio(ratio);
      this.renderer.setSize(this.width, this.height, false);
    }
    const began = performance.now();
    this.draw(pose);
    if (!isAtRest || this.isQuick) return;
    const gl = this.renderer.getContext();
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4)); // waits for the picture
    this.isQuick = performance.now() - began < kQuick_ms;
  }

  private draw(pose: CapPose) {
    this.cap.rotation.set(pose.pitch, pose.yaw, 0, 'XYZ');
    this.cap.updateMatrixWorld(true);
    this.look();
    this.renderer.render(this.scene, this.camera);
  }

  /** One size for all turns that show the front; smaller only where the cap would be cut off. */
  private look() {
    const e = this.cap.matrixWorld.elements;
    let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const [x, y, z] of this.outline) {
      const u = e[0]! * x + e[4]! * y + e[8]! * z;
      const v = e[1]! * x + e[5]! * y + e[9]! * z;
      x0 = Math.min(x0, u);
      x1 = Math.max(x1, u);
      y0 = Math.min(y0, v);
      y1 = Math.max(y1, v);
    }
    const aspect = this.width / Math.max(1, this.height);
    const half = Math.max(kLeastHalf, (x1 - x0) / 2 + 3, ((y1 - y0) / 2 + 3) * aspect);
    const [cx, cy] = [(x0 + x1) / 2, (y0 + y1) / 2];
    this.camera.left = cx - half;
    this.camera.right = cx + half;
    this.camera.top = cy + half / aspect;
    this.camera.bottom = cy - half / aspect;
    this.camera.updateProjectionMatrix();
  }

  private drop(mesh: Mesh) {
    this.cap.remove(mesh);
    mesh.geometry.dispose();
    for (const m of Array.isArray(mesh.material) ? mesh.material : [mesh.material]) m.dispose();
  }

  dispose() {
    for (const mesh of [...this.body, this.sewn, this.needle]) if (mesh) this.drop(mesh);
    this.renderer.dispose();
  }
}
