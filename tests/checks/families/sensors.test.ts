import { testFamily } from '../family.ts';

testFamily('sensors');
