import fc from 'fast-check';

/** Properties draw the same cases on every machine; PROPERTY_SEED draws others, to look further. */
fc.configureGlobal({ seed: Number(process.env['PROPERTY_SEED'] ?? 20261125) });
