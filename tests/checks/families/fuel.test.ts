import { testFamily } from '../family.ts';

testFamily('fuel');
