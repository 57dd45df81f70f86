import { describe, expect, it } from 'vitest';
import { changeTold, needleWords, settingAt, togetherInWords, tomlOf } from './changes';

const settings = { bench: { packing_mm: 0.5, foot_mm: 3.5 }, artwork: { at_mm: [0, 39] } };

describe('changes in words', () => {
  it.each([
    ['bench.packing_mm=1.5', 'Pack the plate up by 1 mm'],
    ['bench.raise_mm=2', 'Fit a plate raised by 2 mm'],
    ['bench.foot_mm=3', 'Lower the foot to 3 mm above the plate'],
    ['bench.needle=90:sharp', 'Use a needle 90/14 sharp'],
    ['bench.slowest_spm=500', 'Slow down to 500 a minute only where needles break most'],
    ['artwork.at_mm=[0,41]', 'Move the design up 2 mm'],
  ])('%s', (id, words) => {
    expect(changeTold(id, settings).words).toBe(words);
  });

  it('carries the caution that belongs to plate, foot and heat', () => {
    expect(changeTold('bench.raise_mm=2', settings).caution).toContain(
      'turn one full stitch by hand',
    );
    expect(changeTold('bench.pressed=true', settings).caution).toContain('burn');
  });

  it('numbers blades as printed on the packet', () => {
    // Metric and imperial sizes as printed side by side: common practice, no source.
    expect(
      ['60:sharp', '65:sharp', '75:ball', '80:sharp', '100:ball', '72:sharp'].map(needleWords),
    ).toEqual(['60/8 sharp', '65/9 sharp', '75/11 ball', '80/12 sharp', '100/16 ball', '72 sharp']);
  });

  it('names a set together', () => {
    expect(togetherInWords(['bench.packing_mm=1', 'bench.clips=true', 'bench.pressed=true'])).toBe(
      'Packing, clips and pressing together',
    );
    expect(togetherInWords(['bench.clips=true'])).toBe('Clips alone');
  });

  it('writes values as TOML takes them', () => {
    expect(tomlOf([{ x_mm: 0, name: 'a"b' }, true, 1.5])).toBe('[{x_mm=0,name="a\\"b"},true,1.5]');
    expect(settingAt(settings, 'bench.foot_mm')).toBe(3.5);
    expect(settingAt(settings, 'bench.none.deeper')).toBeUndefined();
  });
});
