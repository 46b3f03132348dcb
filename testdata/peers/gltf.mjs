// Validates a GLB file with npm gltf-validator and prints its report as JSON: node gltf.mjs FILE.glb
import { readFileSync } from 'node:fs';
import validator from 'gltf-validator';

const report = await validator.validateBytes(new Uint8Array(readFileSync(process.argv[2])), { maxIssues: 0, format: 'glb' });
console.log(JSON.stringify(report));
