import { rule } from './define.js';

export const PLAN_RULES = {} as const;
