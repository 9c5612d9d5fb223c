import type { Chain } from '../catalog/chain.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/** The key of the cutter codes: the chain's key file, or the chain's name when none is set (codes are then guessable). */
export const readCodeKey = (chainFolder: string, chain: Chain, fs: FileSystem): string => {
  const path = `${chainFolder}/${chain.privacy.key_file}`;
  return chain.privacy.key_file !== '' && fs.exists(path) ? fs.readText(path).trim() : chain.name;
};
