import { describe, expect, it } from 'vitest';
import type { Lists, Settings } from '../types';
import type { TicketSource } from './blanks';
import {
  capBlank,
  isByWidth,
  needleBlank,
  plateBlanks,
  plateWords,
  sizeBlank,
  speedBlank,
} from './ticket';
import { backingWords, placeBlanks, restOfTicket } from './ticket_rest';

const lists = {
  caps: [{ name: 'six-panel-soft-low', title: 'six-panel, soft, low' }],
  mounts: [{ name: 'rotary', title: 'Rotary cap frame', max_raise_mm: 3 }],
  needles: ['75:sharp', '80:ball'],
  fabrics: [],
  threads: [],
  layouts: [],
  fonts: [],
  keys: { 'bench.speed_spm': { least: 100, most: 1500 } },
} as unknown as Lists;

const source = (settings: Settings, ticket: Record<string, unknown> = {}): TicketSource => ({
  settings,
  ticket,
  layout: null,
  lists,
  units: 'mm',
});

describe('blanks of the ticket', () => {
  it('ask for their key, and say the step in words', () => {
    const needle = needleBlank(source({ bench: { needle: '80:ball' } }));
    expect(needle.words).toBe('80 ball');
    expect(needle.ask('75:sharp')).toEqual({
      asked: { set: ['bench.needle="75:sharp"'] },
      words: 'Needle: 75 sharp',
    });
    const speed = speedBlank(source({ bench: { speed_spm: 900 } }));
    expect(speed.sheet).toMatchObject({
      kind: 'amount',
      value: 900,
      least: 100,
      most: 1500,
      step: 50,
    });
    expect(speed.ask('650')).toEqual({
      asked: { set: ['bench.speed_spm=650'] },
      words: 'Speed: 650',
    });
  });

  it('show a cap that is not in the list by its own name', () => {
    expect(capBlank(source({ cap: { name: 'chandlers-own' } })).words).toBe('chandlers-own');
    expect(capBlank(source({})).isEmpty).toBe(true);
  });

  it('take the size that the server found where none was asked for', () => {
    expect(sizeBlank(source({ artwork: {} }, { height_mm: 50 })).words).toBe('50 mm');
    const wide = sizeBlank(source({ artwork: { width_mm: 90 } }));
    expect(isByWidth(wide)).toBe(true);
    expect(wide.ask('80').asked.set).toEqual(['artwork.width_mm=80']);
  });

  it('leave the plate no more than the mount clears, together', () => {
    const bench = { mount: 'rotary', raise_mm: 2, packing_mm: 0.5 };
    const [raise, packing] = plateBlanks(source({ bench }));
    expect(raise?.sheet).toMatchObject({ value: 2, least: 0, most: 2.5 });
    expect(packing?.sheet).toMatchObject({ value: 0.5, least: 0, most: 1 });
    expect(plateWords(source({ bench }))).toBe('plate raised 2 mm, packed 0.5 mm');
    expect(plateWords(source({ bench: {} }))).toBe('plate as it is');
  });

  it('move one axis and keep the other, from the usual place where none is asked for', () => {
    const [up, across] = placeBlanks(source({ artwork: { at_mm: [3, 39] } }));
    expect(up?.ask('41').asked.set).toEqual(['artwork.at_mm=[3,41]']);
    expect(across?.words).toBe('3 mm right of the centre line');
    const [, usual] = placeBlanks(source({ artwork: {} }, { height_mm: 40 }));
    expect(usual?.ask('-5').asked.set).toEqual(['artwork.at_mm=[-5,36]']);
  });

  it('say backing by the layer', () => {
    expect(backingWords({ bench: { backing: ['tear-away', 'tear-away'] } })).toBe('two tear-away');
    expect(backingWords({ bench: { backing: [] } })).toBe('none');
    expect(backingWords({ bench: { backing: ['tear-away', 'cut-away'] } })).toBe(
      'tear-away and cut-away',
    );
  });

  it('quote what is typed, so that it cannot become another setting', () => {
    const customer = restOfTicket(source({})).find(({ blank }) => blank.name === 'Customer');
    const text = 'A "B"\nbench.speed_spm=1500';
    const [asked] = customer?.blank.ask(text).asked.set ?? [];
    expect(asked?.includes('\n')).toBe(false);
    expect(JSON.parse(asked?.slice('order.customer='.length) ?? '')).toBe(text);
  });
});
