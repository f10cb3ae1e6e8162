import { testFamily } from '../family.ts';

testFamily('protection');
