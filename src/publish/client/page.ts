import { csvOfTable } from './csvOfTable.ts';
import { figureTools } from './figureTools.ts';
import { filterLists } from './filterLists.ts';
import { findBox } from './findBox.ts';
import type { NightFacts } from './nightFacts.ts';
import { sortTables } from './sortTables.ts';
import { staleDays } from './staleDays.ts';
import { whatIf } from './whatIf.ts';

const warnWhenStale = (night: NightFacts): void => {
  const place = document.querySelector<HTMLElement>('.stale');
  const days = staleDays(night, Date.now());
  if (place === null || days === 0) return;
  place.textContent = `This copy is ${days} days old (data to ${night.dataTo}). Ask for the newest night before you act on it.`;
  place.hidden = false;
};

const start = (): void => {
  const night = window.deckleNight;
  if (night !== undefined) {
    warnWhenStale(night);
    findBox(night.finds);
  }
  for (const figure of document.querySelectorAll('figure')) figureTools(figure, csvOfTable);
  sortTables();
  filterLists();
  whatIf();
};

start();
