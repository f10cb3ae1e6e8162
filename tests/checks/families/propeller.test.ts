import { testFamily } from '../family.ts';

testFamily('propeller');
