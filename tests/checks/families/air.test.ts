import { testFamily } from '../family.ts';

testFamily('air');
