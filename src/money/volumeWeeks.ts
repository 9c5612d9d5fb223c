/** Weekly volumes count from this many weeks back; older ones say nothing of a week now. */
export const volumeWeeks = 13;

/** Said where money cannot run over a week: none was sent, or only older ones. */
export const noVolume = `no volume in the last ${volumeWeeks} weeks`;
