#!/usr/bin/env node
import { failure } from './failure.ts';
import { program } from './program.ts';

try {
  await program((exitCode) => {
    process.exitCode = exitCode;
  }).parseAsync();
} catch (error) {
  const { exitCode, message } = failure(error);
  if (message !== '') console.error(`deckle: ${message}`);
  process.exitCode = exitCode;
}
