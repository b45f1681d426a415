BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE attached (
	inquiry VARCHAR(12) NOT NULL, 
	revision INTEGER NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	CONSTRAINT pk_attached PRIMARY KEY (inquiry, revision, name), 
	CONSTRAINT fk_attached_inquiry FOREIGN KEY(inquiry) REFERENCES inquiries (id), 
	CONSTRAINT fk_attached_sha256 FOREIGN KEY(sha256) REFERENCES contents (sha256)
);
INSERT INTO "attached" VALUES('4s5ws4cm83hg',1,'a.csv','cbf6d3a344b6cdc05893f974cbab31c42bdafe2bf0acee2aa8f02f834e53a160');
INSERT INTO "attached" VALUES('4s5ws4cm83hg',2,'a.csv','cbf6d3a344b6cdc05893f974cbab31c42bdafe2bf0acee2aa8f02f834e53a160');
CREATE TABLE contents (
	sha256 VARCHAR(64) NOT NULL, 
	packed BLOB NOT NULL, 
	CONSTRAINT pk_contents PRIMARY KEY (sha256)
);
INSERT INTO "contents" VALUES('cbf6d3a344b6cdc05893f974cbab31c42bdafe2bf0acee2aa8f02f834e53a160',X'789C33B4360200013E009F');
CREATE TABLE deeds (
	number INTEGER NOT NULL, 
	at VARCHAR(20) NOT NULL, 
	who VARCHAR(200) NOT NULL, 
	what VARCHAR(200) NOT NULL, 
	inquiry VARCHAR(12) NOT NULL, 
	about TEXT NOT NULL, 
	CONSTRAINT pk_deeds PRIMARY KEY (number)
);
INSERT INTO "deeds" VALUES(1,'2026-11-27T02:40:52Z','this machine','kept','4s5ws4cm83hg','revision 1: begun');
INSERT INTO "deeds" VALUES(2,'2026-11-27T02:40:52Z','this machine','kept','4s5ws4cm83hg','revision 2: people.wage: 30 EUR/h');
CREATE TABLE entered (
	sha256 VARCHAR(64) NOT NULL, 
	who VARCHAR(200) NOT NULL, 
	ends_at VARCHAR(20) NOT NULL, 
	CONSTRAINT pk_entered PRIMARY KEY (sha256)
);
INSERT INTO "entered" VALUES('7054b455abc0fd57b8d2d2e941660eb89c3fc1e4c1851621637c6030591d0ac4','this machine','2026-12-11T02:40:52Z');
CREATE TABLE inquiries (
	id VARCHAR(12) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	state VARCHAR(12) NOT NULL, 
	tags TEXT NOT NULL, 
	revision INTEGER NOT NULL, 
	made_at VARCHAR(20) NOT NULL, 
	changed_at VARCHAR(20) NOT NULL, 
	put_away BOOLEAN NOT NULL, 
	CONSTRAINT pk_inquiries PRIMARY KEY (id)
);
INSERT INTO "inquiries" VALUES('4s5ws4cm83hg','Flanges','open','',2,'2026-11-27T02:40:52Z','2026-11-27T02:40:52Z',0);
CREATE TABLE revisions (
	inquiry VARCHAR(12) NOT NULL, 
	number INTEGER NOT NULL, 
	base INTEGER NOT NULL, 
	aside BOOLEAN NOT NULL, 
	made_at VARCHAR(20) NOT NULL, 
	made_by VARCHAR(200) NOT NULL, 
	why VARCHAR(200) NOT NULL, 
	text TEXT NOT NULL, 
	CONSTRAINT pk_revisions PRIMARY KEY (inquiry, number), 
	CONSTRAINT fk_revisions_inquiry FOREIGN KEY(inquiry) REFERENCES inquiries (id)
);
INSERT INTO "revisions" VALUES('4s5ws4cm83hg',1,0,0,'2026-11-27T02:40:52Z','this machine','begun','name: Flanges
');
INSERT INTO "revisions" VALUES('4s5ws4cm83hg',2,1,0,'2026-11-27T02:40:52Z','this machine','people.wage: 30 EUR/h','name: Flanges
people:
  wage: 30 EUR/h
');
CREATE TABLE studied (
	work VARCHAR(12) NOT NULL, 
	copy VARCHAR(12) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	CONSTRAINT pk_studied PRIMARY KEY (work, copy, name), 
	CONSTRAINT fk_studied_work FOREIGN KEY(work) REFERENCES work (id), 
	CONSTRAINT fk_studied_sha256 FOREIGN KEY(sha256) REFERENCES contents (sha256)
);
CREATE TABLE work (
	id VARCHAR(12) NOT NULL, 
	inquiry VARCHAR(12) NOT NULL, 
	revision INTEGER NOT NULL, 
	asked TEXT NOT NULL, 
	state VARCHAR(12) NOT NULL, 
	step VARCHAR(200) NOT NULL, 
	done INTEGER NOT NULL, 
	total INTEGER NOT NULL, 
	words TEXT NOT NULL, 
	made_at VARCHAR(20) NOT NULL, 
	ended_at VARCHAR(20) NOT NULL, 
	CONSTRAINT pk_work PRIMARY KEY (id), 
	CONSTRAINT fk_work_inquiry FOREIGN KEY(inquiry) REFERENCES inquiries (id)
);
CREATE INDEX ix_work_inquiry ON work (inquiry);
CREATE INDEX ix_deeds_inquiry ON deeds (inquiry);
COMMIT;
