import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { packageRoot } from '../src/system/packageRoot.ts';

/** Makes a commented chain folder; refuses a folder that holds a chain file already. */
export const newChain = (folder: string, fs: FileSystem): void => {
  if (fs.exists(`${folder}/chain.yaml`))
    throw new OperatorError(
      `${folder}/chain.yaml exists already; choose another folder`,
      exitCodes.cannotWrite,
    );
  const template = `${packageRoot()}/src/catalog/newChain`;
  for (const path of fs.list(template)) fs.write(`${folder}/${path}`, fs.readBytes(`${template}/${path}`));
  fs.makeFolder(`${folder}/inbox`);
};
