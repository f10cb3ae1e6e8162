import { testFamily } from '../family.ts';

testFamily('form');
