suppressPackageStartupMessages(library(jsonlite))
x <- c(-37,-20,-8,-3.09,-1,-.3,0,.2,.6,.7,1,2.5758,5.6,5.7,8,12)
g <- expand.grid(x=c(1e-4,.3,2,9.7,40,300,1500),df=c(.5,1,3,10,57.3,400,2000)); 
t <- expand.grid(t=c(-60,-5,-1.2,-.01,.3,2,9),df=c(1,2,3.5,10,57.3,900))
f <- expand.grid(f=c(.01,.7,1.18,4,60),df1=c(1,4,20),df2=c(3,46,300.5))
b <- expand.grid(k=c(1,3,12,20),n=20,p=c(1e-3,.1,.5,.97))
p <- c(1e-300,1e-100,1e-10,1e-3,.025,.07,.5,.92,.93,.999,1-1e-12)
cq <- expand.grid(p=c(1e-6,.01,.5,.9,.999,1-1e-10),df=c(.5,1,5,30,500))
writeLines(toJSON(list(meta=list(generated_with=R.version.string), pnorm=list(x=x,p=pnorm(x)), qnorm=list(p=p,x=qnorm(p)),
 pchisq=list(x=g$x,df=g$df,lower=pchisq(g$x,g$df),upper=pchisq(g$x,g$df,lower=FALSE)), qchisq=list(p=cq$p,df=cq$df,x=qchisq(cq$p,cq$df)),
 pt=list(t=t$t,df=t$df,p=pt(t$t,t$df)), pf=list(f=f$f,df1=f$df1,df2=f$df2,upper=pf(f$f,f$df1,f$df2,lower=FALSE)),
 pbinom=list(k=b$k,n=b$n,p=b$p,upper_ge=pbinom(b$k-1,b$n,b$p,lower=FALSE))),auto_unbox=TRUE,digits=I(17),pretty=FALSE,na="null"), "distributions.json")
