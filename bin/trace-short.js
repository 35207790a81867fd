#!/usr/bin/env node
// From Node 22 on what was compiled once is kept beside the other temporary files.
if (!process.version.startsWith('v20.')) require('node:module').enableCompileCache?.();
const { packed } = require('../dist/command/packs.js');
const { main } = packed('./main.js');

main(process.argv.slice(2)).then((code) => {
  process.exitCode = code;
});
