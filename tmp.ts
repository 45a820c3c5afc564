import { readFileSync, readdirSync } from 'node:fs';
import { readProfile } from './src/worksheet/profile.ts';
import { readWorksheet } from './src/worksheet/read.ts';
import { canonical } from './src/worksheet/canonical.ts';
import { worksheetSchema } from './src/worksheet/schema/worksheet.ts';
import { profileSchema } from './src/worksheet/schema/converter.ts';
import { writeFileSync } from 'node:fs';
for (const f of readdirSync('data/converters')) { const t=readFileSync('data/converters/'+f,'utf8'); writeFileSync('/tmp/c-'+f, canonical(t, profileSchema)); }
for (const f of readdirSync('data/worksheets')) { const t=readFileSync('data/worksheets/'+f,'utf8'); writeFileSync('/tmp/w-'+f, canonical(t, worksheetSchema)); }
