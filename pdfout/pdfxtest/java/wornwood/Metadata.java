package wornwood;

import java.io.File;
import java.io.InputStream;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.xmpbox.XMPMetadata;
import org.apache.xmpbox.schema.XMPSchema;
import org.apache.xmpbox.xml.DomXmpParser;

/** Reads a PDF's metadata strictly, extension schemas included, and prints what it found. */
public final class Metadata {
    private Metadata() {}

    public static void main(String[] args) throws Exception {
        try (PDDocument doc = PDDocument.load(new File(args[0]));
                InputStream in = doc.getDocumentCatalog().getMetadata().exportXMPMetadata()) {
            DomXmpParser parser = new DomXmpParser();
            parser.setStrictParsing(true);
            XMPMetadata xmp = parser.parse(in);
            System.out.println("part " + xmp.getPDFIdentificationSchema().getPart());
            System.out.println("conformance " + xmp.getPDFIdentificationSchema().getConformance());
            System.out.println("title " + xmp.getDublinCoreSchema().getTitle());
            System.out.println("creator " + xmp.getDublinCoreSchema().getCreators());
            System.out.println("description " + xmp.getDublinCoreSchema().getDescription());
            System.out.println("keywords " + xmp.getAdobePDFSchema().getKeywords());
            System.out.println("created " + xmp.getXMPBasicSchema().getCreateDate().toInstant());
            XMPSchema ua = xmp.getSchema("http://www.aiim.org/pdfua/ns/id/");
            System.out.println("ua " + (ua == null ? "none" : ua.getProperty("part")));
        }
    }
}
