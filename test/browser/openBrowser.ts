import { existsSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';

const systemBrowsers = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/**
 * The browser of the tests: CHROME_PATH, else the Chromium shipped on npm (with the libraries it brings for bare systems,
 * unpacked to a folder of its own), else one of the system. None is a failure, never a skipped test.
 */
export const openBrowser = async (): Promise<Browser> =>
  chromium.launch({ executablePath: await executable(), args: ['--no-sandbox', '--disable-gpu'] });

const executable = async (): Promise<string> => {
  const named = process.env['CHROME_PATH'];
  if (named !== undefined && named !== '') return named;
  process.env['AWS_LAMBDA_JS_RUNTIME'] = 'nodejs20.x';
  const before = process.env['TMPDIR'] ?? tmpdir();
  const own = mkdtempSync(join(tmpdir(), 'browser-'));
  process.env['TMPDIR'] = own;
  try {
    const shipped = await import('@sparticuz/chromium');
    const path = await shipped.default.executablePath();
    writeFileSync(join(own, 'fonts/fonts.conf'), fontsIn(own));
    return path;
  } catch (error) {
    const found = systemBrowsers.find((path) => existsSync(path));
    if (found === undefined) throw new Error('no Chromium: set CHROME_PATH', { cause: error });
    return found;
  } finally {
    process.env['TMPDIR'] = before;
  }
};

/** The shipped list of fonts names a folder of its own; without a font that is found there the browser falls over. */
const fontsIn = (folder: string): string => `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>${folder}/fonts</dir><cachedir>${folder}/fonts-cache</cachedir></fontconfig>
`;
