import { hashOf, hashState } from './hashState.ts';

/** Changes one key of the address's state without a new entry in the history. */
export const setState = (key: string, value: string): void => {
  const state = hashState(location.hash);
  state.set(key, value);
  const hash = hashOf(state);
  history.replaceState(null, '', hash === '' ? location.pathname : hash);
};
