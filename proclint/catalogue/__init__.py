import re, functools, difflib
from dataclasses import dataclass, field
from pathlib import Path
from decimal import Decimal
import yaml

@dataclass(frozen=True)
class Duration:
    least: int; usual: int|None; most: int
_U={'s':1000,'min':60000,'h':3600000,'d':86400000}
def read_duration(text):
    m=re.fullmatch(r'([0-9]+(?:\.[0-9]+)?)(?:-([0-9]+(?:\.[0-9]+)?))?(?:-([0-9]+(?:\.[0-9]+)?))? (s|min|h|d)',text or '')
    if not m: return None
    v=[int(Decimal(x)*_U[m[4]]) for x in m.groups()[:3] if x]
    return Duration(v[0], v[1] if len(v)==3 else None, v[-1])
@dataclass(frozen=True)
class Parameter:
    kind: str; default: str=''
@dataclass(frozen=True)
class Action:
    verb: str; patterns: tuple; parameters: dict; actor: str; may_fail: bool|None; answers: tuple; writes: bool; hazards: tuple; shows: tuple
@dataclass(frozen=True)
class Variable:
    name: str; values: tuple
@dataclass(frozen=True)
class Hazard: name: str
@dataclass(frozen=True)
class MatchedLine:
    action: Action; words: dict
@dataclass(frozen=True)
class Mismatch:
    kind: str; offset: int=0; length: int=1; expected: str=''; suggestion: str|None=None; pattern: str|None=None; parameter: str|None=None
class Catalogue:
    def __init__(self):
        d=yaml.load((Path(__file__).parent/'tmp-vocabulary.yaml').read_text(),Loader=yaml.CBaseLoader)
        self.kinds=d['kinds-of-parameter']; self.variables={k:Variable(k,tuple(v['values']) if isinstance(v['values'],list) else ()) for k,v in d['variables'].items()}
        self.hazards={k:Hazard(k) for k in d['hazards']}
        self.actions={}
        for verb,a in d['actions'].items():
            ps={n:Parameter(p if isinstance(p,str) else p['kind'],'' if isinstance(p,str) else p.get('default','')) for n,p in a.get('parameters',{}).items()}
            mf=a.get('may-fail'); ans=a.get('answers',{})
            self.actions[verb]=Action(verb,tuple(a['patterns']),ps,a.get('actor','technician'),None if mf is None else mf=='yes',tuple(ans) if isinstance(ans,dict) else (),a.get('writes')=='yes',tuple(a.get('hazards',())),tuple(a.get('shows',())))
        self._rx={}
    def _kind(self,k):
        d=self.kinds[k]
        if 'matches' in d: return d['matches']
        if 'words' in d: return '|'.join(sorted(d['words'],key=len,reverse=True))
        return '|'.join(sorted(self.variables,key=len,reverse=True))
    def rx(self,verb):
        if verb not in self._rx:
            out=[]
            for p in self.actions[verb].patterns:
                p=p.replace(' [','[ ')
                r=''
                for t in re.split(r'(\{[a-z]+\}|\[|\])',p):
                    if t=='[': r+='(?:'
                    elif t==']': r+=')?'
                    elif t.startswith('{'): n=t[1:-1]; r+=f'(?P<{n}>{self._kind(self.actions[verb].parameters[n].kind)}|[a-z][a-z-]*)' if False else f'(?P<{n}>{self._kind(self.actions[verb].parameters[n].kind)})'
                    else: r+=re.escape(t)
                out.append(re.compile(r))
            self._rx[verb]=out
        return self._rx[verb]
    @functools.lru_cache(4096)
    def match(self,text,*,names=frozenset()):
        verb=text.partition(' ')[0]
        if verb not in self.actions:
            near=difflib.get_close_matches(verb,self.actions,1)
            return Mismatch('unknown-verb',0,len(verb),'an action',near[0] if near else None)
        for r in self.rx(verb):
            m=r.fullmatch(text)
            if m: return MatchedLine(self.actions[verb],{k:v for k,v in m.groupdict().items() if v is not None})
        return Mismatch('wrong-word',len(verb)+1,max(1,len(text)-len(verb)-1),self.actions[verb].patterns[0],None,self.actions[verb].patterns[0])
    def match_long(self,verb,words,*,names=frozenset()):
        if verb not in self.actions: return Mismatch('unknown-verb',0,len(verb),'an action')
        return MatchedLine(self.actions[verb],dict(words))
@functools.cache
def standard(): return Catalogue()
