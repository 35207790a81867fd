#!/usr/bin/env node
// From Node 22 on what was compiled once is kept beside the other temporary files.
require('node:module').enableCompileCache?.();
const { main } = require('../dist/command/main.js');

main(process.argv.slice(2)).then((code) => {
  process.exitCode = code;
});
