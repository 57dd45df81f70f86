import { describe, expect, it } from 'vitest';
import { needleWords, settingAt, togetherInWords, tomlOf } from './changes';

const settings = { bench: { foot_mm: 3.5 } };

describe('changes in words', () => {
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
