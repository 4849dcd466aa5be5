import { rule } from './define.js';

export const SITE_RULES = {} as const;
