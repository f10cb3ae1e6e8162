import { testFamily } from '../family.ts';

testFamily('storage');
