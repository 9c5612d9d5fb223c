import type { Browser, Page } from 'playwright-core';

export type Watched = { page: Page; faults: string[] };

/** A page that notes every console error, breach of its policy, failed script, dialog and request beyond its folder. */
export const watchedPage = async (
  browser: Browser,
  options: Parameters<Browser['newPage']>[0] = {},
): Promise<Watched> => {
  const page = await browser.newPage(options);
  const faults: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') faults.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => faults.push(`error: ${error.message}`));
  page.on('dialog', (dialog) => {
    faults.push(`dialog: ${dialog.message()}`);
    dialog.dismiss().catch(() => {});
  });
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) faults.push(`request: ${request.url()}`);
  });
  page.on('requestfailed', (request) => faults.push(`missing: ${request.url()}`));
  await page.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`);
    });
  });
  return { page, faults };
};
