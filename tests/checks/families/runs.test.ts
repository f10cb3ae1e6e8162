import { testFamily } from '../family.ts';

testFamily('runs');
