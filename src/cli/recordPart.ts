/** The second thread of a long record: reads the file as the first does, for how its codes hang together. */
import { parentPort, workerData } from 'node:worker_threads';
import { dependenceAnalysis } from '../record/analysis.ts';
import { type RecordFile, recordBytes } from './recordFile.ts';

const { reading, ...file } = workerData as RecordFile;
const analysis = dependenceAnalysis(reading);
for await (const bytes of recordBytes(file)) analysis.push(bytes);
parentPort?.postMessage(analysis.end());
