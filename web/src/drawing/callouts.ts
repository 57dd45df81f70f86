// The worst places led out of the artwork into free land: a ring, a thin leader, a numbered disc and
// two lines of words. Plot px, y down.
import type { WorstPlace, Xy } from '../types';
import { type Box, type Camera, toPx } from './camera';
import { barePin, type CalloutRoom, kPin, leaderCost, withinArt } from './leaders';
import { brokenLines, joined, type Label, labelBox, round, type Taken } from './lettering';

export interface Callout {
  place: WorstPlace;
  at: Xy; // of the ring
  pin: Xy;
  labels: Label[]; // none for a bare number
  card: Box | null; // cleared under the words
}

const kMiddle_mm = 1.5; // a place so near the centre line may be told on either side

/** "Brass column 2.3 mm wide, round the edge" beside a place told otherwise: "Brass column". */
export const briefPart = (part: string) => part.replace(/ \d.*$/, '');

// Each on the side where its place lies (the seam's own in turn), so that no leader crosses the
// artwork; from a side that is full the places nearest to the middle go to the other.
function sidesOf(places: { x: number }[], most: number): (1 | -1)[] {
  let turn: 1 | -1 = 1;
  const sides = places.map(({ x }): 1 | -1 => {
    if (Math.abs(x) >= kMiddle_mm) return x < 0 ? -1 : 1;
    turn = -turn as 1 | -1;
    return -turn as 1 | -1;
  });
  for (const side of [1, -1] as const) {
    const full = Math.max(most, Math.ceil(places.length / 2));
    while (sides.filter((s) => s === side).length > full) {
      let nearest = -1;
      places.forEach(({ x }, k) => {
        if (sides[k] === side && (nearest < 0 || Math.abs(x) < Math.abs(places[nearest]!.x)))
          nearest = k;
      });
      sides[nearest] = -side as 1 | -1;
    }
  }
  return sides;
}

interface Stand {
  place: WorstPlace;
  at: Xy;
  side: 1 | -1;
  y: number;
}

// From the bill up on each side, so that leaders seldom cross; then pushed apart.
function standsOf(places: WorstPlace[], camera: Camera, apart: number): Stand[] {
  const order = [...places].sort((a, b) => a.y_mm - b.y_mm);
  const most = Math.floor(Math.max(1, camera.height / apart - 1));
  const flip = camera.turned ? -1 : 1;
  const sides = sidesOf(
    order.map((p) => ({ x: p.x_mm * flip })),
    most,
  );
  const all = order.map((place, k): Stand => {
    const at = toPx(camera, place.x_mm, place.y_mm);
    return { place, at, side: sides[k]!, y: at[1] - 7 };
  });
  const upwards = camera.turned ? [...all].reverse() : all;
  for (const side of [1, -1]) {
    const mine = upwards.filter((s) => s.side === side);
    let limit = camera.height - Math.max(0.8 * apart, 30);
    for (const s of mine) {
      s.y = Math.min(s.y, limit);
      limit = s.y - apart;
    }
    limit = apart * 0.6;
    for (const s of mine.reverse()) {
      s.y = Math.max(s.y, limit);
      limit = s.y + apart;
    }
  }
  return all;
}

function wordsAt(stand: Stand, room: CalloutRoom): Callout {
  const { camera, art, measure } = room;
  const edge =
    stand.side > 0 ? Math.max(camera.width / 2, art.x1) : Math.min(camera.width / 2, art.x0);
  const x = Math.min(camera.width - 14, Math.max(14, edge + stand.side * 30));
  const callout: Callout = {
    place: stand.place,
    at: stand.at,
    pin: [x, stand.y],
    labels: [],
    card: null,
  };
  const begin = x + stand.side * 14;
  const width = (stand.side > 0 ? camera.width - begin : begin) - 6;
  if (!room.hasWords || width < 70) return callout;
  const anchor = stand.side > 0 ? 'start' : 'end';
  const title = { face: 'serif', px: 15 } as const;
  const note = { face: 'sans', px: 12 } as const;
  let y = stand.y;
  for (const words of brokenLines(room.title(stand.place), title, Math.min(width, 290), measure)) {
    callout.labels.push({ x: begin, y, words, type: title, anchor, look: 'callout' });
    y += 17;
  }
  y -= 1;
  for (const words of brokenLines(room.detail(stand.place), note, width, measure)) {
    callout.labels.push({ x: begin, y, words, type: note, anchor, look: 'callout-note' });
    y += 15;
  }
  const box = joined(callout.labels.map((l) => labelBox(l, measure)));
  callout.card = { x0: box.x0 - 3, y0: box.y0 - 3, x1: box.x1 + 3, y1: box.y1 + 3 };
  return callout;
}

function moveUp(callout: Callout, px: number) {
  callout.pin = [callout.pin[0], callout.pin[1] - px];
  for (const label of callout.labels) label.y -= px;
  if (callout.card) {
    callout.card.y0 -= px;
    callout.card.y1 -= px;
  }
}

const boxOf = (callout: Callout) =>
  joined([round(...callout.pin, kPin), ...(callout.card ? [callout.card] : [])]);

// What is there already (a reading, an earlier callout) is kept clear: steps up and down in turn,
// farther each time. False where nothing is free.
function setFree(callout: Callout, room: CalloutRoom, step: number): boolean {
  const before = callout.pin[1];
  for (let k = 0; k <= 40; ++k) {
    const up = (k % 2 ? 1 : -1) * Math.ceil(k / 2) * step;
    moveUp(callout, callout.pin[1] - (before - up));
    const box = boxOf(callout);
    const isInside = box.y0 >= 2 && box.y1 <= room.camera.height - 2;
    if (isInside && room.taken.isFree(box, 2)) return true;
  }
  moveUp(callout, callout.pin[1] - before);
  return false;
}

function takeLeader(callout: Callout, taken: Taken) {
  const [a, b] = [callout.at, callout.pin];
  const n = Math.max(1, Math.floor(Math.hypot(b[0] - a[0], b[1] - a[1]) / 6));
  for (let k = 0; k <= n; ++k)
    taken.add(round(a[0] + ((b[0] - a[0]) * k) / n, a[1] + ((b[1] - a[1]) * k) / n, 3));
}

/**
 * With words the discs stand at the two sides with their lines; a leader that would run over much of
 * the artwork, as across a wordmark, goes to a bare number in the nearest free land instead. Without
 * words all do.
 */
export function placeCallouts(worst: WorstPlace[], room: CalloutRoom): Callout[] {
  const { camera, taken } = room;
  const places = worst.filter((p) => {
    const [x, y] = toPx(camera, p.x_mm, p.y_mm);
    return x >= 0 && y >= 0 && x <= camera.width && y <= camera.height;
  });
  const apart = room.hasWords ? 44 : 24;
  const stands = standsOf(places, camera, apart);
  const out: Callout[] = [];
  const beside: WorstPlace[] = [];
  for (const stand of stands) {
    const others = stands.filter((s) => s !== stand).map((s) => s.at);
    const aside = wordsAt(stand, room);
    const isWorded = aside.labels.length > 0;
    if (isWorded && withinArt(stand.at, aside.pin, room.art) < 22 * camera.scale) {
      beside.push(stand.place);
      continue;
    }
    const bare = barePin(stand.at, others, room);
    const isShort =
      isWorded && bare && leaderCost(stand.at, aside.pin, others, room) < bare.cost + 180;
    if (!bare || isShort) {
      beside.push(stand.place);
      continue;
    }
    taken.add(round(...bare.pin, kPin));
    const callout = { ...aside, pin: bare.pin, labels: [], card: null };
    takeLeader(callout, taken);
    out.push(callout);
  }
  for (const stand of standsOf(beside, camera, apart)) {
    const callout = wordsAt(stand, room);
    if (!setFree(callout, room, apart / 5)) {
      const others = places
        .filter((p) => p !== stand.place)
        .map((p) => toPx(camera, p.x_mm, p.y_mm));
      const bare = barePin(stand.at, others, room);
      if (bare) Object.assign(callout, { pin: bare.pin, labels: [], card: null });
    }
    taken.add(boxOf(callout));
    takeLeader(callout, taken);
    out.push(callout);
  }
  return out.sort((a, b) => a.place.number - b.place.number);
}
