import { flag } from '../program/option-kinds.ts';

export const shop = flag("in the shop's file in the jobs folder, for every bench that works there");
