import { CLAIM_RULES } from './site/claims.js';
import { DEFAULT_RULES } from './site/defaults.js';
import { LEFT_OUT_RULES } from './site/left-out.js';
import { OBSERVATION_RULES } from './site/observations.js';
import { PLACE_RULES } from './site/place.js';
import { SAME_DEVICE_RULES } from './site/same-device.js';
import { SERVICE_RULES } from './site/services.js';
import { SURVEY_RULES } from './site/survey.js';
import { VANTAGE_RULES } from './site/vantages.js';

/** Findings made from what was seen on the network. Links and cabling have their own file, cabling.ts. */
export const SITE_RULES = {
  ...CLAIM_RULES,
  ...SAME_DEVICE_RULES,
  ...PLACE_RULES,
  ...VANTAGE_RULES,
  ...SERVICE_RULES,
  ...DEFAULT_RULES,
  ...SURVEY_RULES,
  ...OBSERVATION_RULES,
  ...LEFT_OUT_RULES,
} as const;
