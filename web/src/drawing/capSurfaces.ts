// Surfaces of the cap and the inks they are drawn with.
import {
  BufferAttribute,
  BufferGeometry,
  CatmullRomCurve3,
  Color,
  ConeGeometry,
  DoubleSide,
  FrontSide,
  Mesh,
  Quaternion,
  ShaderMaterial,
  type Side,
  SphereGeometry,
  TubeGeometry,
  Vector3,
} from 'three';
import { type CapShape, cross, unit, type Vec } from './capShape';
import { kInk, kPaper } from './ink';

interface Patch {
  /** u and v from 0 to 1. */
  at: (u: number, v: number) => Vec;
  normal: (u: number, v: number) => Vec;
  mark: (u: number, v: number) => [number, number];
  nu: number;
  nv: number;
}

function patchGeometry(patch: Patch): BufferGeometry {
  const { nu, nv } = patch;
  const position: number[] = [];
  const normal: number[] = [];
  const mark: number[] = [];
  const index: number[] = [];
  for (let j = 0; j <= nv; ++j)
    for (let i = 0; i <= nu; ++i) {
      const [u, v] = [i / nu, j / nv];
      position.push(...patch.at(u, v));
      normal.push(...patch.normal(u, v));
      mark.push(...patch.mark(u, v));
      if (i === nu || j === nv) continue;
      const a = j * (nu + 1) + i;
      index.push(a, a + 1, a + nu + 1, a + nu + 1, a + 1, a + nu + 2);
    }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(position), 3));
  geometry.setAttribute('normal', new BufferAttribute(new Float32Array(normal), 3));
  geometry.setAttribute('mark', new BufferAttribute(new Float32Array(mark), 2));
  geometry.setIndex(index);
  return geometry;
}

/** Marks: arc up, and length round. */
export function crownGeometry(shape: CapShape): BufferGeometry {
  const round = (u: number) => Math.PI * (2 * u - 1);
  const up = (v: number) => shape.top * v;
  return patchGeometry({
    at: (u, v) => shape.crown(round(u), up(v)),
    normal: (u, v) => shape.normal(round(u), Math.min(up(v), shape.top - 0.5)),
    mark: (u, v) => [up(v), round(u) * shape.radius(up(v))],
    nu: 120,
    nv: 56,
  });
}

/** The same, moved out along its normals: seen from behind it makes the outline. */
export function swollen(geometry: BufferGeometry, by: number): BufferGeometry {
  const out = geometry.clone();
  const p = out.getAttribute('position');
  const n = out.getAttribute('normal');
  for (let i = 0; i < p.count; ++i)
    p.setXYZ(i, p.getX(i) + by * n.getX(i), p.getY(i) + by * n.getY(i), p.getZ(i) + by * n.getZ(i));
  return out;
}

/** Marks: share out from the seam, and length along. */
export function billGeometry(shape: CapShape): BufferGeometry {
  const t = (u: number) => 2 * u - 1;
  return patchGeometry({
    at: (u, v) => shape.bill(t(u), v),
    normal: (u, v) => {
      const step = (a: Vec, b: Vec): Vec => [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
      const [lo, hi] = [Math.max(-0.99, t(u) - 0.02), Math.min(0.99, t(u) + 0.02)];
      const across = step(shape.bill(lo, v), shape.bill(hi, v));
      const along = step(
        shape.bill(t(u) * 0.98, Math.max(0, v - 0.05)),
        shape.bill(t(u) * 0.98, Math.min(1, v + 0.05)),
      );
      return unit(cross(along, across));
    },
    mark: (u, v) => [v, t(u) * 110],
    nu: 72,
    nv: 16,
  });
}

export function billRim(shape: CapShape): BufferGeometry {
  const points = Array.from(
    { length: 81 },
    (_, k) => new Vector3(...shape.bill(-1 + k / 40, 1.006)),
  );
  return new TubeGeometry(new CatmullRomCurve3(points), 160, 0.65, 6, false);
}

/** The seam between bill and crown, and the edge of the crown behind it. */
export function crownEdge(shape: CapShape): BufferGeometry {
  const points = Array.from(
    { length: 90 },
    (_, k) => new Vector3(...shape.crown((2 * Math.PI * k) / 90, 0, 0.2)),
  );
  return new TubeGeometry(new CatmullRomCurve3(points, true), 180, 0.5, 6, true);
}

/** Flat strips up the crown, the front one wider; dashed where they are not the front's. */
export function seamGeometry(shape: CapShape, angles: number[], hasFront: boolean): BufferGeometry {
  const position: number[] = [];
  const index: number[] = [];
  angles.forEach((a, s) => {
    const isFront = hasFront && s === 0;
    const wide = isFront ? 0.55 : 0.32;
    const [steps, lift] = [100, 0.16];
    for (let k = 0; k < steps; ++k) {
      const y0 = (shape.top * k) / steps;
      if (!isFront && k % 3 === 2) continue;
      const y1 = (shape.top * (k + 1)) / steps;
      const base = position.length / 3;
      for (const y of [y0, y1]) {
        const off = wide / Math.max(4, shape.radius(y));
        position.push(...shape.crown(a - off, y, lift), ...shape.crown(a + off, y, lift));
      }
      index.push(base, base + 1, base + 2, base + 2, base + 1, base + 3);
    }
  });
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(position), 3));
  geometry.setIndex(index);
  return geometry;
}

export function eyeletMeshes(shape: CapShape, angles: number[], arc: number): Mesh[] {
  return angles.flatMap((a) => {
    const points = Array.from({ length: 24 }, (_, k) => {
      const t = (2 * Math.PI * k) / 24;
      const off = (2.5 * Math.cos(t)) / Math.max(4, shape.radius(arc));
      return new Vector3(...shape.crown(a + off, arc + 2.5 * Math.sin(t), 0.3));
    });
    const ring = new TubeGeometry(new CatmullRomCurve3(points, true), 48, 0.42, 6, true);
    return [new Mesh(ring, plainMaterial(kInk))];
  });
}

export function buttonMeshes(shape: CapShape): Mesh[] {
  const [x, y, z] = shape.crown(0, shape.top);
  const make = (grow: number, material: ShaderMaterial) => {
    const mesh = new Mesh(new SphereGeometry(1, 24, 16), material);
    mesh.scale.set(5.2 + grow, 2.4 + grow, 5.2 + grow);
    mesh.position.set(x, y + 0.8, z * 0);
    return mesh;
  };
  return [make(0, plainMaterial(kPaper)), make(0.8, plainMaterial(kInk, 1 as Side))];
}

export function needleMesh(): Mesh {
  const geometry = new ConeGeometry(1, 36, 12);
  geometry.translate(0, -18, 0);
  geometry.rotateX(Math.PI); // the point at the origin, the shank along +y
  return new Mesh(geometry, plainMaterial(kInk, DoubleSide));
}

export function putNeedle(needle: Mesh, shape: CapShape, [x, y]: [number, number]) {
  const at = shape.onChart(x, y, 0.6);
  const normal = shape.normal(shape.angle(x, y), y);
  needle.position.set(...at);
  needle.quaternion.copy(
    new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), new Vector3(...normal)),
  );
}

/** Points that bound the cap from any side. */
export function outlinePoints(shape: CapShape): Vec[] {
  const out: Vec[] = [];
  for (let j = 0; j <= 12; ++j)
    for (let i = 0; i < 24; ++i) out.push(shape.crown((Math.PI * i) / 12, (shape.top * j) / 12));
  for (let k = 0; k <= 24; ++k) out.push(shape.bill(-1 + k / 12, 1));
  const [, y] = shape.crown(0, shape.top);
  out.push([0, y + 4, 0]);
  return out;
}

export function plainMaterial(colour: string, side: Side = FrontSide): ShaderMaterial {
  return new ShaderMaterial({
    side,
    uniforms: { ink: { value: new Color(colour) } },
    vertexShader: 'void main(){gl_Position=projectionMatrix*modelViewMatrix*vec4(position,1.0);}',
    fragmentShader:
      'uniform vec3 ink;void main(){gl_FragColor=vec4(ink,1.0);\n#include <colorspace_fragment>\n}',
  });
}

// Light from the upper left, a little from the front, in the viewer's frame.
const kLit = 'float lit(vec3 n){return dot(normalize(n),normalize(vec3(-0.62,0.62,0.45)));}';
const kMarked = `attribute vec2 mark;varying vec2 at;varying vec3 out_n;
void main(){at=mark;out_n=normalMatrix*normal;gl_Position=projectionMatrix*modelViewMatrix*vec4(position,1.0);}`;
// Coverage of a line of width w at distance d, both in mm: soft over one px, and an even tone where
// lines lie closer than px can tell apart.
const kLine = `float line(float d,float w,float px,float apart){
float a=1.0-smoothstep(0.5*w-0.5*px,0.5*w+0.5*px,d);
a=min(a,w>px?1.0:w/px);
return mix(a,w/apart,smoothstep(0.35,0.8,px/apart));}`;

/** Parallels every 3.2 mm of arc, from 0.12 mm in the light to 0.7 in the shade. */
export function crownMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    uniforms: { ink: { value: new Color(kInk) }, paper: { value: new Color(kPaper) } },
    vertexShader: kMarked,
    fragmentShader: `uniform vec3 ink,paper;varying vec2 at;varying vec3 out_n;${kLit}${kLine}
void main(){
float d=abs(fract(at.x/3.2-0.5)-0.5)*3.2;
float w=mix(0.8,0.2,smoothstep(-0.05,0.85,lit(out_n)));
float a=at.x<1.6?0.0:line(d,w,fwidth(at.x),3.2);
gl_FragColor=vec4(mix(paper,ink,a),1.0);
#include <colorspace_fragment>
}`,
  });
}

/** Seven rows of stitching along the edge, dashed; underside in even shade. */
export function billMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    uniforms: { ink: { value: new Color(kInk) }, paper: { value: new Color(kPaper) } },
    vertexShader: kMarked,
    fragmentShader: `uniform vec3 ink,paper;varying vec2 at;varying vec3 out_n;${kLine}
void main(){
float rows=at.x*8.0;float d=abs(fract(rows-0.5)-0.5);
float a=line(d,0.07,fwidth(rows),1.0);
a*=step(fract(at.y/2.8),0.62);
if(rows<0.5||rows>7.5||abs(at.y)>103.0)a=0.0;
if(gl_FrontFacing)a=0.35;
gl_FragColor=vec4(mix(paper,ink,a),1.0);
#include <colorspace_fragment>
}`,
  });
}

/** Thread colours under the same light; each ribbon is darker at its sides where px can tell. */
export function threadMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    vertexShader: `attribute vec4 thread;varying vec4 ink;varying float shade;${kLit}
void main(){ink=thread;float d=0.5+0.5*lit(normalMatrix*normal.xyz);shade=0.74+0.36*d*d;
gl_Position=projectionMatrix*modelViewMatrix*vec4(position,1.0);}`,
    fragmentShader: `varying vec4 ink;varying float shade;
void main(){float u=2.0*ink.a-1.0;vec3 c=pow(ink.rgb,vec3(2.2));
float told=1.0-smoothstep(0.25,0.7,fwidth(ink.a));
gl_FragColor=vec4(c*min(1.0,shade)*(1.0-0.36*mix(0.33,u*u,told)),1.0);
#include <colorspace_fragment>
}`,
  });
}
