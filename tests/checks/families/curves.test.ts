import { testFamily } from '../family.ts';

testFamily('curves');
