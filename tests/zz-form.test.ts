import { test } from 'vitest';
import { readFileSync, readdirSync, writeFileSync, mkdirSync } from 'node:fs';
import { analyseCase, applyFix, asExpected, readFixture } from './support/fixture.ts';
const D='/tmp/ew/t/draft/', O='/tmp/ew/t/out/';
mkdirSync(O,{recursive:true});
test('gen', () => {
  for (const n of readdirSync(D)) {
    const rule=n.replace('.txt',''); let out='';
    for (const part of readFileSync(D+n,'utf8').split(/^== /m).slice(1)) {
      const [title,...rest]=part.split('\n'); const body=rest.join('\n');
      out+=`#== ${title}\n`;
      const files=new Map<string,string>(); let name='case.engine.yaml';
      for (const p of body.split(/^(?=#-- )/m)) { const m=/^#-- (.*)\n/.exec(p); if(m){ files.set(m[1]!,p.slice(m[0].length)); if(files.size===1) name=m[1]!; } else if(p) files.set(name,p); }
      try {
      const a=analyseCase(files); const main=files.get(name)!;
      const fs=a.findings.filter(f=>f.rule===rule); const seen=new Set<string>();
      const others=a.findings.filter(f=>f.rule!==rule && f.severity!=='information');
      const lines=main.split('\n'); let shown=''; if(name!=='case.engine.yaml') shown+=`#-- ${name}\n`;
      lines.forEach((l,i)=>{ shown+=l+(i<lines.length-1?'\n':''); for(const f of fs){const e=asExpected(a,f); if(e.line===i){ const gap=e.start===0?'':' '.repeat(e.start-1); shown+=`#${gap}${'^'.repeat(Math.max(1,e.end-(e.start||1)))} ${e.severity} ${e.rule}: ${e.message}\n`;}}});
      out+=shown;
      for(const [k,v] of files) if(k!==name) out+=`#-- ${k}\n${v}`;
      for(const f of fs) for(const x of f.fixes){ if(seen.has(x.title)) continue; seen.add(x.title); out+=`#-- fix: ${x.title}\n${applyFix(a,x)}`; }
      for(const f of others) out+=`### other: ${f.rule} ${f.message}\n`;
      } catch(e){ out+='### '+(e as Error).stack+'\n'; }
    }
    writeFileSync(O+rule+'.yaml',out);
  }
});
