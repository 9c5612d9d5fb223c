/** What is known under a key, found out when it is asked for first. */
export const remembered = <Key, Value>(known: Map<Key, Value>, key: Key, find: () => Value): Value => {
  const found = known.get(key);
  if (found !== undefined || known.has(key)) return found as Value;
  const value = find();
  known.set(key, value);
  return value;
};
