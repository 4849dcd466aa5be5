import { rule } from './define.js';

export const REDUNDANCY_RULES = {} as const;
