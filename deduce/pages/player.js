
(function(){
var say=LABELS,pieces=PARTS,before=document.querySelectorAll('.deduce-steps[data-ready]').length;
document.querySelectorAll('.deduce-steps:not([data-ready])').forEach(function(box,index){
box.setAttribute('data-ready','');
box.classList.add('deduce-ready');
var frames=box.querySelector('.deduce-frames'),all=Array.prototype.slice.call(frames.children);
var now=0,whole=false,clock=null,place=before+index+1,alone=box.hasAttribute('data-page');
function make(kind,parent,text){var e=document.createElement(kind);if(text)e.textContent=text;
parent.appendChild(e);return e}

/* Controls */
var nav=document.createElement('nav');nav.setAttribute('aria-label',say.controls);
box.insertBefore(nav,frames);
function button(text,what){var b=make('button',nav,text);b.type='button';b.onclick=what;return b}
var back=button(say.previous,function(){go(now-1)}),on=button(say.next,function(){go(now+1)});
var run=button(say.play,function(){play(!clock)});
var list=button(say.all,function(){whole=!whole;go(now)});
var links=button(say.links,function(){links.setAttribute('aria-pressed',links.getAttribute('aria-pressed')!=='true');
redraw()});
links.setAttribute('aria-pressed','true');
var notes=make('select',nav);notes.setAttribute('aria-label',say.notes);
say.noteChoices.forEach(function(text){make('option',notes,text)});
notes.onchange=redraw;
var bar=make('input',nav);bar.type='range';bar.min=0;bar.max=all.length-1;bar.step=1;
bar.setAttribute('aria-label',say.position);bar.oninput=function(){go(+bar.value)};
var said=make('span',nav);said.setAttribute('role','status');
nav.title=say.keys;

/* The list of steps: one stop of the tab key, arrow keys inside */
var listing=document.createElement('nav');listing.setAttribute('aria-label',say.list);
box.insertBefore(listing,frames);
var parts=box.querySelectorAll('[data-chapter]').length,ol=make('ol',listing),jumps=all.map(function(d,i){
if(parts>1&&d.dataset.chapter)make('li',ol,d.dataset.chapter).className='deduce-chapter';
var b=make('button',make('li',ol),d.querySelector('summary').textContent);
b.type='button';b.onclick=function(){go(i)};return b});

/* Pictures without some of their parts */
var images=Array.prototype.slice.call(frames.querySelectorAll('img')),sources=images.map(function(i){return i.src});
function without(text,name){return text.split('<!--'+name+'-->').map(function(piece,i){
return i?piece.slice(piece.indexOf('<!--/'+name+'-->')+name.length+8):piece}).join('')}
function redraw(){
var gone=[];
if(links.getAttribute('aria-pressed')!=='true')gone.push(pieces.links);
if(notes.selectedIndex>0)gone.push(pieces.other);
if(notes.selectedIndex>1)gone.push(pieces.needed);
images.forEach(function(image,i){
var head=sources[i].indexOf(',')+1;
image.src=gone.length?sources[i].slice(0,head)+btoa(gone.reduce(without,atob(sources[i].slice(head)))):sources[i]})}

/* Moving */
function go(to,quiet){
now=Math.max(0,Math.min(all.length-1,to));
box.classList.toggle('deduce-whole',whole);
all.forEach(function(d,i){d.hidden=!whole&&i!==now;if(i===now)d.open=true});
if(!whole&&alone)frames.scrollTop=0;
jumps.forEach(function(b,i){b.tabIndex=i===now?0:-1;
if(i===now)b.setAttribute('aria-current','step');else b.removeAttribute('aria-current')});
if(ol.contains(document.activeElement))jumps[now].focus();
/* Scroll the list alone; the page stays where it is. */
var top=jumps[now].offsetTop-ol.offsetTop;
if(top<ol.scrollTop||top>ol.scrollTop+ol.clientHeight-40)ol.scrollTop=top-ol.clientHeight/2;
bar.value=now;bar.setAttribute('aria-valuetext',jumps[now].textContent);
back.disabled=now===0;on.disabled=now===all.length-1;
list.textContent=whole?say.one:say.all;
var n=all.length-2;
said.textContent=now===0?say.start:now>n?say.end:say.step.replace('{number}',now).replace('{count}',n);
if(now===all.length-1)play(false);
if(whole&&!quiet)all[now].scrollIntoView({block:'nearest'});
if(alone&&!quiet)mark()}
function play(start){clearInterval(clock);clock=null;
if(start){if(now===all.length-1)go(0);clock=setInterval(function(){go(now+1)},2500)}
run.textContent=clock?say.pause:say.play}

/* The address names the step of each walk: #walk1=12&walk2=3 */
function read(){var found=new RegExp('[#&]walk'+place+'=([0-9]{1,4})(?:&|$)').exec(location.hash);
return found?+found[1]:null}
function mark(){
var kept=location.hash.replace(/^#/,'').split('&').filter(function(part){
return part&&part.indexOf('walk'+place+'=')!==0});
kept.push('walk'+place+'='+now);
try{history.replaceState(null,'','#'+kept.join('&'))}catch(e){/* not allowed in some frames */}}
if(alone)addEventListener('hashchange',function(){var to=read();if(to!==null&&to!==now)go(to,true)});

box.tabIndex=0;
(alone&&place===1?document:box).addEventListener('keydown',function(e){
if(e.target!==document.body&&!box.contains(e.target))return;
if(e.target===notes||e.target===bar||e.altKey||e.ctrlKey||e.metaKey)return;
var keys={ArrowLeft:now-1,ArrowRight:now+1,Home:0,End:all.length-1};
if(alone)keys.PageUp=now-1,keys.PageDown=now+1;
if(alone&&e.target===document.body)keys[' ']=now+(e.shiftKey?-1:1);
if(ol.contains(e.target)){keys.ArrowUp=now-1;keys.ArrowDown=now+1}
if(keys[e.key]!==undefined){e.preventDefault();e.stopPropagation();play(false);go(keys[e.key])}});
addEventListener('beforeprint',function(){all.forEach(function(d){d.open=true})});
go(alone&&read()||0,true);
/* For the stage of a page of its own: where the reader is, and pictures in other colours. */
box.deduce={nav:nav,images:images,at:function(){return now},go:go,
paint:function(given){sources=given;redraw()},sources:sources}})})();
