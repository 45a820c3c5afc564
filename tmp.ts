import { readFileSync, readdirSync } from 'node:fs';
import { readProfile } from './src/worksheet/profile.ts';
import { readWorksheet } from './src/worksheet/read.ts';
import { evaluate } from './src/worksheet/evaluate.ts';
import { withValue } from './src/worksheet/write.ts';
const profiles = Object.fromEntries(readdirSync('data/converters').map((f) => [f.replace('.json',''), readProfile({ text: readFileSync('data/converters/'+f,'utf8') })]));
for (const f of readdirSync('data/worksheets')) {
  const w = readWorksheet({ text: readFileSync('data/worksheets/'+f,'utf8'), profiles });
  const t0=performance.now(); const e = evaluate({worksheet: w}); console.log(f,'cold',performance.now()-t0);
  for (let k=0;k<3;k++){const t=performance.now(); for(let i=0;i<20;i++) evaluate({worksheet:w}); console.log((performance.now()-t)/20,'ms');}
  const {worksheet, sensor, ...rest} = e;
  console.log(JSON.stringify(rest,null,1).replace(/\n\s*/g,' '));
}
