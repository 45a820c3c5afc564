import { describe, expect, it } from 'vitest';
import { demoRecords } from './demoRecords.ts';

describe('data/records', () => {
  it.each(Object.entries(demoRecords))(
    '%s is what the demo worksheets and the seed give',
    async (name, make) => {
      // `vitest -u` writes the file anew.
      await expect(make()).toMatchFileSnapshot(`../../data/records/${name}`);
    },
  );
});
