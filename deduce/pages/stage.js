
(async function(){
'use strict';
const say=LABELS,box=document.querySelector('.deduce-walk[data-page]'),holder=document.querySelector('.deduce-turns');
if(!box||!box.deduce||!holder||!window.DecompressionStream)return;
const root=document.documentElement,main=document.querySelector('main'),reader=box.deduce;
const titled=document.title,author=(box.querySelector('.by')||{}).textContent||'';
const packed=Uint8Array.from(atob(JSON.parse(holder.textContent)),c=>c.charCodeAt(0));
const opens='open' in holder.dataset;
holder.remove();
const data=JSON.parse(await new Response(new Blob([packed]).stream().pipeThrough(
new DecompressionStream('deflate'))).text());
const turns=data.turns,count=data.steps.length,last=turns.length-1;
const firsts=[];turns.forEach((t,i)=>{if(firsts[t[0]]===undefined)firsts[t[0]]=i});
const STEP=0,KIND=1,TITLE=2,WORDS=3,BOARDS=4;
const make=(kind,parent,text,name)=>{const e=document.createElement(kind);if(text)e.textContent=text;
if(name)e.className=name;if(parent)parent.append(e);return e};
/* The name of a cell keeps its small letter. */
const capital=text=>/^r\d/.test(text)?text:text[0].toUpperCase()+text.slice(1);
const fill=(text,values)=>text.replace(/\{(\w+)\}/g,(_,k)=>values[k]);

/* Bright or dark: by the system until the button is pressed. */
const system=matchMedia('(prefers-color-scheme: dark)');
const isDark=()=>root.dataset.scheme==='dark'||root.dataset.scheme==='auto'&&system.matches;
const text=n=>data.boards[n].map(i=>data.pieces[i]).join('');
const bright=reader.sources.slice();
function scheme(){
const dark=isDark();
schemes.forEach(b=>{b.textContent=dark?say.bright:say.dark});
/* The pictures of the reader, in their order: start, each step with what it supposes, end. */
if(!startsDark)reader.paint(dark?shownInOrder.map(n=>'data:image/svg+xml;base64,'+
btoa(String.fromCharCode(...new TextEncoder().encode(text(n))))):bright.slice());
if(state.at!==null)draw()}
/* How high the tallest picture of the reader is, so that no board changes its size from step to step. */
function tallest(sources){
return Math.max(...sources.map(drawn=>{const m=/width="([\d.]+)" height="([\d.]+)"/.exec(drawn);return m?m[2]/m[1]:1}))}
const startsDark=root.dataset.scheme==='dark';
const shownInOrder=[turns[0][BOARDS][3]];
for(let n=1;n<=count;n++){
const own=turns.filter(t=>t[STEP]===n);
shownInOrder.push(own.find(t=>t[KIND]==='falls')[BOARDS][3],
...own.filter(t=>t[KIND]==='consequence').slice(1).map(t=>t[BOARDS][3]))}
shownInOrder.push(turns[last][BOARDS][3]);
box.style.setProperty('--tall',String(tallest([...shownInOrder.map(text),
...bright.map(source=>atob(source.slice(source.indexOf(',')+1,source.indexOf(',')+801)))]).toFixed(3)));
const schemes=[];
function schemeButton(parent){const b=make('button',parent);b.type='button';schemes.push(b);
b.onclick=()=>{root.dataset.scheme=isDark()?'light':'dark';scheme()};return b}

/* The state: which turn is shown; null while the page is read. */
const state={at:null,notes:0,black:false};
const clamp=i=>Math.max(0,Math.min(last,i));
const within=i=>i-firsts[turns[i][STEP]]+1;
const address=i=>turns[i][STEP]+'.'+within(i);
function parse(word){
const m=/^#(stage|speaker)(?:=(\d{1,4})(?:\.(\d{1,3}))?)?(?:&key=([\w-]{1,40}))?$/.exec(word);
if(!m)return null;
const step=Math.min(count+1,+(m[2]||0)),from=firsts[step],to=firsts[step+1]===undefined?last+1:firsts[step+1];
return{mode:m[1],at:Math.min(to-1,from+Math.max(1,+(m[3]||1))-1),key:m[4]||''}}
function mark(){
try{history.replaceState(null,'',state.at===null?'#walk1='+reader.at():
'#'+(speaking?'speaker':'stage')+'='+address(state.at)+(speaking&&secret?'&key='+secret:''))}catch(e){/* in a frame */}}

/* What may be said about a step once a turn has come. */
const past=(i,kind)=>{for(let j=i;j>=0&&turns[j][STEP]===turns[i][STEP];j--)if(turns[j][KIND]===kind)return true;
return false};
function head(i){
const t=turns[i],n=t[STEP];
if(t[KIND]==='start')return{kicker:author,title:titled};
if(t[KIND]==='end')return{kicker:titled,title:t[TITLE]};
const step=fill(say.step,{number:n,count}),named=past(i,'name');
return{kicker:named&&t[KIND]!=='name'?step+' \u00b7 '+t[TITLE]:step,title:named?capital(data.steps[n-1][0]):t[TITLE]}}
function windowTitle(i){
const t=turns[i],h=head(i);
return t[STEP]===0?titled:titled+' \u2013 '+(t[KIND]==='end'?h.title:fill(say.short,{number:t[STEP]})+': '+h.title)}
function sentences(parent,i){
const t=turns[i],words=t[WORDS],split=t[KIND]==='link'?words.indexOf(': '):-1;
parent.replaceChildren();
if(split>0){make('p',parent,words.slice(0,split),'written');
make('p',parent,capital(words.slice(split+2)))}
else{
/* What the title says is not said again. */
const title=head(i).title,lines=words.replace(/\.$/,'')===title?[]:words.split('\n');
lines.forEach(line=>make('p',parent,line.startsWith(title+': ')?capital(line.slice(title.length+2)):line))}}

/* Boards: one drawing holds the board and below it the key; each is shown by itself. */
function boardOf(i){
const t=turns[i],notes=state.notes,picture=t[BOARDS][(notes===0?0:2)+(isDark()?1:0)];
let drawn=text(picture);
if(notes===2)drawn=drawn.replace(/<!--(needed|other) notes-->[^]*?<!--\/\1 notes-->/g,'');
return drawn}
function show(board,key,i){
const drawn=boardOf(i);
board.innerHTML=drawn;
const svg=board.querySelector('svg');
const[,,wide,high]=svg.getAttribute('viewBox').split(' ').map(Number);
svg.removeAttribute('width');svg.removeAttribute('height');
const said=[svg.querySelector('title'),svg.querySelector('desc')];
svg.setAttribute('aria-label',said.map(e=>e?e.textContent:'').join('. '));
said.forEach(e=>e&&e.remove());
const[w,h,left,k]=data.size;
svg.setAttribute('viewBox','0 0 '+w+' '+h);
/* A box of its own shape, so that nothing below the board is seen beside it. */
svg.style.cssText='aspect-ratio:'+w+'/'+h+(w<h?';width:auto;height:100%':';width:100%;height:auto');
if(!key)return;
key.replaceChildren();
if(high>h+4){
const copy=svg.cloneNode(true);copy.removeAttribute('style');
copy.setAttribute('viewBox',(left-3)+' '+h+' '+(k-left+3)+' '+(high-h));
copy.setAttribute('aria-hidden','true');copy.removeAttribute('aria-label');copy.removeAttribute('role');
key.append(copy)}}

/* The stage */
const stage=make('main',null,'','deduce-stage');
stage.setAttribute('aria-label',say.name);stage.tabIndex=-1;
const board=make('div',stage,'','stage-board'),side=make('div',stage,'','stage-side');
const top=make('div',side),kicker=make('p',top,'','stage-kicker'),title=make('h1',top,'','stage-title');
const words=make('div',side,'','stage-words');words.setAttribute('aria-live','polite');words.tabIndex=0;
words.setAttribute('role','group');words.setAttribute('aria-label',say.now);
const key=make('div',side,'','stage-key');
const controls=make('nav',side,'','stage-controls');controls.setAttribute('aria-label',say.name);
controls.title=say.keys;
const rail=make('div',stage,'','stage-rail'),bar=make('i',rail);
const outline=make('aside',stage,'','stage-outline');outline.hidden=true;outline.setAttribute('aria-label',say.outline);
const black=make('div',stage,'','stage-black');black.hidden=true;
make('p',black,say.black,'seen-not');black.onclick=()=>blacken(false);
const told=make('p',stage,'','seen-not');told.setAttribute('role','status');
function control(label,what,sign){const b=make('button',controls,sign||label);b.type='button';
if(sign){b.setAttribute('aria-label',label);b.title=label}b.onclick=what;return b}
const back=control(say.previous,()=>go(state.at-1),'\u2190'),on=control(say.next,()=>go(state.at+1),'\u2192');
const run=control(say.run,()=>playing?stop():play(),'\u00bb');
control(say.outline,()=>open(outline.hidden));
const choice=make('select',controls);choice.setAttribute('aria-label',say.notes);
say.noteChoices.forEach(name=>make('option',choice,name));
choice.onchange=()=>{state.notes=choice.selectedIndex;draw();tell();stage.focus()};
schemeButton(controls);
control(say.speaker,speak);
control(say.full,full);
control(say.leave,leave);
let rest=0;
function wake(){stage.classList.add('awake');clearTimeout(rest);rest=setTimeout(()=>stage.classList.remove('awake'),2500)}
stage.addEventListener('pointermove',wake);stage.addEventListener('pointerdown',wake);

function fit(){
/* The largest words that leave nothing out; below the smallest they scroll. */
const portrait=innerWidth<=innerHeight,unit=portrait?Math.min(.62*innerHeight/100,1.3*innerWidth/100):
Math.min(innerHeight/100,.5625*innerWidth/100);
for(const size of[3.8,3.17,2.64,2.2]){
stage.style.setProperty('--word',String(Math.max(size,13/unit)));
if(words.scrollHeight<=words.clientHeight+1)break}}
function draw(){
const i=state.at,h=head(i);
if(speaking){drawSpeaker();document.title=windowTitle(i);return}
kicker.textContent=h.kicker;title.textContent=h.title;
sentences(words,i);
show(board,key,i);
back.disabled=i===0;on.disabled=i===last;
bar.style.width=100*i/last+'%';
run.hidden=!singles(i);run.title=playing?say.stop:say.run;run.setAttribute('aria-label',run.title);
run.textContent=playing?'\u00d7':'\u00bb';
black.hidden=!state.black;
if(!outline.hidden)list();
document.title=windowTitle(i);
fit()}

function go(to,silent){state.at=clamp(to);draw();mark();if(!silent)tell()}
function blacken(to){state.black=to;black.hidden=!to;if(speaking)drawSpeaker();tell()}

/* Runs of singles: one by one as all steps, or as one. */
let playing=0;
function singles(i){const n=turns[i][STEP];return n>=1&&n<=count&&data.simple[n-1]&&
(data.simple[n]||playing>0)}
function play(){
let n=turns[state.at][STEP],end=n;
while(end<count&&data.simple[end])end++;
const stops=[];
for(let m=n;m<=end;m++)for(let i=Math.max(firsts[m],state.at+1);i<firsts[m+1];i++)
if(turns[i][KIND]==='falls'||turns[i][KIND]==='result'&&m===end)stops.push(i);
if(!stops.length)return;
if(matchMedia('(prefers-reduced-motion: reduce)').matches){go(stops[stops.length-1]);return}
const next=()=>{go(stops.shift());if(stops.length)playing=setTimeout(next,900);else stop()};
playing=1;next()}
function stop(){if(playing){clearTimeout(playing);playing=0;draw()}}

/* The outline names only what has been told. */
function list(){
const i=state.at,now=turns[i][STEP];
outline.replaceChildren();
const bar=make('header',outline);make('h2',bar,say.outline);
const close=make('button',bar,say.close);close.type='button';close.onclick=()=>open(false);
data.chapters.forEach((c,j)=>{
const first=c[0],end=j+1<data.chapters.length?data.chapters[j+1][0]-1:count;
const over=now>end||now===end&&past(i,'falls');
make('h3',outline,over||data.chapters.length===1?c[1]:fill(say.chapter,{number:j+1}));
const ol=make('ol',outline);
for(let n=first;n<=end&&(n<=now||n===first);n++){
const known=n<now||n===now&&past(i,'falls'),named=n===now&&past(i,'name');
const label=known?n+'. '+data.steps[n-1][1]:named?n+'. '+capital(data.steps[n-1][0]):fill(say.short,{number:n});
const b=make('button',make('li',ol),label);b.type='button';
if(n===now)b.setAttribute('aria-current','step');
b.onclick=()=>{open(false);go(firsts[n])}}})}
function open(to){outline.hidden=!to;if(to){list();(outline.querySelector('[aria-current]')||
outline.querySelector('button')).focus()}else stage.focus()}

function enter(at){
stop();
if(main.isConnected)main.replaceWith(stage);
state.at=clamp(at);state.black=false;draw();mark();stage.focus({preventScroll:true});wake();tell()}
function leave(){
const step=Math.min(count+1,turns[state.at][STEP]);
stop();open(false);
if(document.fullscreenElement)document.exitFullscreen();
stage.replaceWith(main);state.at=null;document.title=titled;
reader.go(step,true);mark();enterButton.focus()}
function full(){
if(document.fullscreenElement)document.exitFullscreen();
else if(root.requestFullscreen)root.requestFullscreen().catch(()=>{})}

/* Keys, those of a clicker among them. */
const onward=['ArrowRight','ArrowDown','PageDown',' ','n','Enter'],backward=['ArrowLeft','ArrowUp','PageUp','p','Backspace'];
document.addEventListener('keydown',e=>{
if(e.ctrlKey||e.metaKey)return;
const inside=e.target.closest&&e.target.closest('button,select,input');
if(state.at===null){if((e.key==='f'||e.key==='F')&&e.target.tagName!=='SELECT'){e.preventDefault();enter(firsts[reader.at()]);full()}return}
if(inside&&(e.key===' '||e.key==='Enter'||e.target.tagName==='SELECT'))return;
const step=turns[state.at][STEP];
let done=true;
if(playing&&e.key!=='r')stop();
if(onward.includes(e.key)&&!(e.key===' '&&e.shiftKey)){
if(state.black)blacken(false);
else go(e.altKey?(firsts[step+1]===undefined?last:firsts[step+1]):state.at+1)}
else if(backward.includes(e.key)||e.key===' '){
if(state.black)blacken(false);
else go(e.altKey?(within(state.at)>1?firsts[step]:firsts[Math.max(0,step-1)]):state.at-1)}
else if(e.altKey)done=false;
else if(e.key==='Home')go(0);
else if(e.key==='End')go(last);
else if(e.key==='b'||e.key==='.')blacken(!state.black);
else if(speaking)done=false;
else if(e.key==='o')open(outline.hidden);
else if(e.key==='r'){if(playing)stop();else if(singles(state.at))play()}
else if(e.key==='s')speak();
else if(e.key==='f'||e.key==='F'){if(document.fullscreenElement||!root.requestFullscreen)leave();else full()}
else if(e.key==='Escape'){if(!outline.hidden)open(false);else if(state.black)blacken(false);else leave()}
else done=false;
if(done){e.preventDefault();e.stopPropagation()}});

/* The speaker's window: the same file a second time.  Both know a secret, which only the one that opened it gave. */
let speaking=false,secret='',partner=null,heard=0;
try{secret=sessionStorage.getItem('deduce-stage')||''}catch(e){/* not stored */}
let wire=null;
function tune(){
if(!secret||wire||!window.BroadcastChannel)return;
wire=new BroadcastChannel('deduce '+secret);
wire.onmessage=e=>hear(e.data)}
function post(message){
message.key=secret;
if(partner&&!partner.closed)try{partner.postMessage(message,'*')}catch(e){/* gone */}
if(wire)wire.postMessage(message)}
function tell(){if(secret)post({deduce:speaking?'speaker':'stage',at:state.at,black:state.black,notes:state.notes})}
function hear(message){
if(!message||!secret||message.key!==secret||message.deduce===(speaking?'speaker':'stage'))return;
heard=Date.now();
if(message.ask){if(!speaking&&state.at!==null)tell();return}
if(typeof message.at!=='number')return;
const black_=!!message.black;
if(message.at===state.at&&black_===state.black&&(!speaking||message.notes===state.notes)){if(speaking)clockwork();return}
if(state.at===null)return;
state.black=black_;
if(speaking){state.notes=message.notes|0}
go(message.at,true)}
addEventListener('message',e=>{if(e.data&&e.data.deduce&&(!partner||e.source===partner||e.data.key===secret))hear(e.data)});
function speak(){
if(!secret)secret=Array.from(crypto.getRandomValues(new Uint32Array(3)),n=>n.toString(36)).join('-');
try{sessionStorage.setItem('deduce-stage',secret)}catch(e){/* not stored */}
tune();
partner=window.open(location.href.split('#')[0]+'#speaker='+address(state.at)+'&key='+secret,'deduce-speaker',
'width=1000,height=720');
told.textContent=partner?'':say.blocked}

const desk=make('main',null,'','deduce-speaker');desk.setAttribute('aria-label',say.desk);
const band=make('header',desk),clock=make('span',band,'0:00','speaker-clock');
make('span',band,say.elapsed);
const again=make('button',band,say.again);again.type='button';again.onclick=()=>{begun=Date.now();clockwork()};
const hour=make('span',band),stateLine=make('span',band,'','speaker-state');stateLine.setAttribute('role','status');
const here=make('section',desk),ahead=make('section',desk),foot=make('footer',desk);
let begun=Date.now(),knew=null;
[[say.previous,-1],[say.next,1]].forEach(([label,by])=>{const b=make('button',foot,label);b.type='button';
b.onclick=()=>go(state.at+by)});
const dim=make('button',foot,say.dim);dim.type='button';dim.onclick=()=>blacken(!state.black);
schemeButton(foot);
function clockwork(){
const seconds=Math.floor((Date.now()-begun)/1000),two=n=>String(n).padStart(2,'0');
clock.textContent=Math.floor(seconds/60)+':'+two(seconds%60);
const now=new Date();hour.textContent=two(now.getHours())+':'+two(now.getMinutes());
const fine=Date.now()-heard<3500;
if(fine!==knew){knew=fine;stateLine.textContent=fine?say.inStep:say.apart;stateLine.classList.toggle('apart',!fine)}}
function drawSpeaker(){
const i=state.at,t=turns[i],n=t[STEP],h=head(i);
here.replaceChildren();ahead.replaceChildren();
make('h2',here,say.now+(h.kicker?' \u00b7 '+h.kicker:''));make('h1',here,h.title);
sentences(make('div',here,'','speaker-words'),i);
if(n>=1&&n<=count){
make('h2',here,say.link+': '+data.steps[n-1][1]);
const ol=make('ol',here);data.steps[n-1][2].forEach(line=>make('li',ol,line));
make('h2',here,say.fill);
const news=data.fresh[n-1];
if(news.length){const ul=make('ul',here);news.forEach(name=>make('li',ul,name))}else make('p',here,say.nothing)}
make('h2',ahead,say.coming);
if(i<last){const g=head(i+1);
make('p',ahead,(turns[i+1][STEP]!==n&&g.kicker?g.kicker+': ':'')+(turns[i+1][KIND]==='link'||
turns[i+1][KIND]==='falls'||turns[i+1][KIND]==='result'||turns[i+1][KIND]==='consequence'||turns[i+1][KIND]==='need'?turns[i+1][TITLE]:g.title),'speaker-next');
sentences(make('div',ahead),i+1);
show(make('div',ahead,'','board'),null,i+1)}
else make('p',ahead,say.last);
dim.setAttribute('aria-pressed',String(state.black));
clockwork()}
function takeDesk(wanted){
speaking=true;secret=wanted.key;partner=window.opener;
main.replaceWith(desk);state.at=wanted.at;
tune();draw();mark();
const ask=()=>{post({deduce:'speaker',ask:true});clockwork()};
ask();setInterval(ask,1000)}

const enterButton=make('button',reader.nav,say.stage);enterButton.type='button';enterButton.className='deduce-first';enterButton.title=say.keys;
enterButton.onclick=()=>{enter(firsts[reader.at()]);full()};
schemeButton(reader.nav).className='deduce-first';
/* Paper gets the reader's page, bright. */
addEventListener('beforeprint',()=>{if(!startsDark)reader.paint(bright.slice());
if(stage.isConnected)stage.replaceWith(main)});
addEventListener('afterprint',()=>{scheme();if(state.at!==null&&!speaking&&main.isConnected)main.replaceWith(stage)});
system.addEventListener('change',scheme);
addEventListener('resize',()=>{if(state.at!==null&&!speaking)fit()});
addEventListener('hashchange',()=>{const w=parse(location.hash);
if(!w){if(state.at!==null&&!speaking)leave();return}
if(speaking||state.at===null||w.at!==state.at){if(speaking)go(w.at);else enter(w.at)}});
scheme();
const wanted=parse(location.hash);
if(wanted&&wanted.mode==='speaker')takeDesk(wanted);
else if(wanted){tune();enter(wanted.at)}
else if(opens&&!location.hash)enter(0);
root.dataset.stage='ready'})();
