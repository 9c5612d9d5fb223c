/** The operator's chain file after validation and defaults: every stage reads its settings from here. */
export type OutputClass = 'main cut' | 'other cut' | 'lean trim' | 'fat' | 'bone' | 'waste';
export type WeightUnit = 'lb' | 'kg' | 'oz' | 'g' | 'lb-oz';
export type WeightClass = { name: string; from: number; to: number };
export type PortionSpec = {
  output: string;
  weight: number;
  thickness_in?: number;
  tolerance?: number;
};
export type ItemEntry = {
  item: string;
  imps: string;
  name: string;
  aliases: string[];
  spec: string;
  weight_classes: WeightClass[];
  portions: PortionSpec[];
};
export type OutputEntry = {
  output: string;
  aliases: string[];
  class: OutputClass;
  lean_point: number;
};
export type MethodEntry = {
  method: string;
  item: string;
  aliases: string[];
  main: string[];
  outputs: string[];
  demand_per_week: number;
};
export type GradeEntry = {
  grade: string;
  scale: string;
  aliases: string[];
  rank: number;
};
export type SenderEntry = {
  name: string;
  files: string;
  encoding?: string;
  delimiter?: string;
  decimal?: '.' | ',';
  dates?: 'ymd' | 'mdy' | 'dmy';
  layout: 'long' | 'wide';
  /** Our column -> the sender's header, or several. */
  columns: Record<string, string | string[]>;
  wide: Record<string, string>;
  /** Headers that look like one of our columns and are not. */
  ignore?: string[];
  defaults: {
    store?: string;
    unit?: string;
    method?: string;
    weighed?: string;
  };
  footer: string[];
  codes: {
    grade: Record<string, string>;
    item: Record<string, string>;
    output: Record<string, string>;
  };
};

/** Weights in weight_classes and portions are in `unit`; missing numbers are NaN, missing texts ''. */
export type Chain = {
  name: string;
  currency: string;
  unit: 'lb' | 'kg';
  timezone: string;
  language: string;
  items: ItemEntry[];
  outputs: OutputEntry[];
  methods: MethodEntry[];
  grades: GradeEntry[];
  senders: SenderEntry[];
  thresholds: { effect_points: number; money_per_week: number; chance: number };
  tolerances: {
    unaccounted_warn: number;
    unaccounted_error: number;
    scale_division: number;
  };
  labor_per_hour: number;
  target_margin: number;
  lean_trim_floor: number;
  /** Per cent of billed weight: usual purge, and how far above it and above the other suppliers a claim must be. */
  claims: { usual_purge: number; usual_short: number; margin: number };
  freshness: { expect_every_days: number; stale_after_days: number };
  limits: {
    file_mb: number;
    record_kb: number;
    cell_kb: number;
    columns: number;
    rows: number;
  };
  privacy: { minimum_group: number; names: boolean; key_file: string };
  /** Months of tests and number of releases kept; 0 = all. */
  retention: { months: number; releases: number };
  withdraw: { store: string; test_id: string }[];
  removed_cutters: string[];
};
