import type { Chain } from '../catalog/chain.ts';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/**
 * The key of the cutter codes: the chain's key file, or the chain's name when none is set (codes are then guessable).
 * Throws OperatorError (78) when the file named is missing or empty: codes must not silently become guessable.
 */
export const readCodeKey = (chainFolder: string, chain: Chain, fs: FileSystem): string => {
  const file = chain.privacy.key_file;
  if (file === '') return chain.name;
  const path = `${chainFolder}/${file}`;
  const key = fs.exists(path) ? fs.readText(path).trim() : '';
  if (key === '')
    throw new OperatorError(
      `privacy.key_file: ${path} is missing or empty; put a secret text of your own there`,
      exitCodes.chainFile,
    );
  return key;
};
